// What the colour script says of each look, in words and bars.

/** @import {ScriptGroup, ScriptKey, ScriptRow} from '../types' */
/** @import {Matrix} from '../light/display.js' */

import { cssColour, swatch } from '../light/display.js';
import { texts } from '../texts.js';

/** How bright bars are: dim on the black page, as ink on paper. */
const DIM = { most: 0.3, luminance: 0.12 };
const INK = { most: 1, luminance: 0.7 };

/** Tint from which a white is no white to a director (Duv). */
const TINTED = 0.006;

/**
 * The rows of each place, in their order.
 *
 * @param {ScriptRow[]} rows
 * @returns {{name: string, rows: ScriptRow[]}[]}
 */
export function places(rows) {
  /** @type {{name: string, rows: ScriptRow[]}[]} */
  const out = [];
  for (const row of rows) {
    const last = out[out.length - 1];
    if (last?.name === row.location) last.rows.push(row);
    else out.push({ name: row.location, rows: [row] });
  }
  return out;
}

/**
 * The colours of a group, as they lie along it.
 *
 * @param {Matrix} m
 * @param {ScriptGroup} group
 * @returns {{dim: string, ink: string}[]} CSS colours
 */
export function bars(m, group) {
  const uvs = group.colours.map((c) => c.uv);
  const ink = (/** @type {[number, number]} */ [u, v]) => {
    const xyz = /** @type {[number, number, number]} */ ([9 * u, 4 * v, 12 - 3 * u - 20 * v]); // CIE 15, Y = 4v' here
    return { dim: cssColour(swatch(m, xyz, DIM.most, DIM.luminance)), ink: cssColour(swatch(m, xyz, INK.most, INK.luminance)) };
  };
  switch (group.pattern) {
    case 'alternate': return [...uvs, ...uvs].map(ink);
    case 'gradient': return along(uvs).map(ink);
    case 'mirror': return along(uvs.concat([...uvs].reverse().slice(1))).map(ink);
    default: return uvs.map(ink);
  }
}

/** How many steps a bar has from one colour to the next. */
const STEPS = 8;

/**
 * Colours that go over into each other, straight in u'v' as the pattern does.
 *
 * @param {[number, number][]} ends
 * @returns {[number, number][]}
 */
function along(ends) {
  if (ends.length < 2) return ends;
  return Array.from({ length: STEPS * (ends.length - 1) + 1 }, (_, i) => {
    const k = Math.min(Math.floor(i / STEPS), ends.length - 2);
    const share = i / STEPS - k;
    return /** @type {[number, number]} */ ([0, 1].map((n) => ends[k][n] + (ends[k + 1][n] - ends[k][n]) * share));
  });
}

/**
 * The white of a key: "3200 K", with its tint where that is seen; "coloured" for none.
 *
 * @param {ScriptKey} key
 */
export function cctText(key) {
  if (key.cct === null) return texts.script.coloured;
  const white = `${Math.round(key.cct / 10) * 10} K`;
  if (key.duv === null || Math.abs(key.duv) < TINTED) return white;
  return `${white}, ${key.duv > 0 ? texts.script.greenish : texts.script.pinkish}`;
}
