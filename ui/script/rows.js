// What the colour script says of each look, in words and bars.

/** @import {ScriptGroup, ScriptKey, ScriptRow} from '../types' */
/** @import {Matrix} from '../light/display.js' */

import { cssColour, swatch } from '../light/display.js';
import { en } from '../en.js';

/** How bright bars are: dim on the black page, as ink on paper. */
const DIM = { most: 0.5, luminance: 0.18 };
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
  const all = group.colours.map((c) => {
    const [x, y] = c.xy;
    /** @type {[number, number, number]} */
    const xyz = [x / y, 1, (1 - x - y) / y];
    return {
      dim: cssColour(swatch(m, xyz, DIM.most, DIM.luminance)),
      ink: cssColour(swatch(m, xyz, INK.most, INK.luminance)),
    };
  });
  switch (group.pattern) {
    case 'alternate': return [...all, ...all];
    case 'mirror': return [...all, ...all.slice(0, -1).reverse()];
    default: return all;
  }
}

/**
 * The white of a key: "3200 K", with its tint where that is seen; "coloured" for none.
 *
 * @param {ScriptKey} key
 */
export function cctText(key) {
  if (key.cct === null) return en.script.coloured;
  const white = `${Math.round(key.cct / 10) * 10} K`;
  if (key.duv === null || Math.abs(key.duv) < TINTED) return white;
  return `${white}, ${key.duv > 0 ? en.script.greenish : en.script.pinkish}`;
}
