// Light on the plan: what each cell adds to each point of a coarse grid. It is
// computed once for a plan and a size; every picture after that is a weighted
// sum, added in linear light so that light on light mixes as light does. A
// sketch to recognise a look by, not a meter: the ground is flat and nothing
// casts a shadow.

/** @import {Plan, PlanLamp, Point} from '../types' */

/** Lowest height that light is thrown from, m: what lies on the ground still has a width. */
const LEAST_HEIGHT = 0.45;
/** How narrow a lamp of a class throws: exponent of its lobe, see `lobe`. */
const NARROW = /** @type {Record<string, number>} */ ({ spot: 24, panel: 4, puck: 2 });
/** How narrow its beam in the air is; classes without one are left out. */
const BEAM_NARROW = /** @type {Record<string, number>} */ ({ spot: 110, panel: 26 });
/** Glow and beam of a cell at its most, against the typical light of the ground. */
const GLOW = 6;
const BEAM = 1.1;
/** Width of the glow, m and points of the grid, whichever is more. */
const GLOW_M = 0.13;
const GLOW_POINTS = 1.4;
/** Light under this share of the typical is left out: it would show as black. */
const CUT = 0.0025;
/** The typical light is looked for at every so many points either way. */
const COARSE = 4;

/**
 * The box of the plan that a picture shows, in metres.
 *
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 *
 * What one cell adds: `at` are indices into the grid, `w` light per lumen in
 * the same order.
 *
 * @typedef {{at: Uint16Array, w: Float32Array}} Throw
 *
 * @typedef {{box: Box, cols: number, rows: number, throws: Throw[], typical: number}} Ground
 *
 * A cell with what shapes its light.
 *
 * @typedef {object} Source
 * @property {number} index
 * @property {Point} place
 * @property {Point | null} axis unit vector; null throws all round
 * @property {number} narrow exponent of its lobe
 * @property {number} beam exponent of the beam in the air, 0 for none
 * @property {number} lumens at its most
 * @property {number} share of the glow of a single point: cells of a tube overlap
 */

/**
 * @param {Plan} plan
 * @param {Box} box
 * @param {number} cols
 * @param {number} rows cols * rows <= 65536
 * @returns {Ground}
 */
export function layGround(plan, box, cols, rows) {
  const soft = Math.max(GLOW_M, (GLOW_POINTS * box.w) / cols);
  const sources = sourcesOf(plan, soft);
  const typical = typicalLight(sources, box, cols, rows);
  /** @type {Throw[]} */
  const throws = [];
  const scratch = new Float32Array(cols * rows);
  for (const s of sources) throws[s.index] = throwOf(s, box, cols, rows, typical, soft, scratch);
  for (let i = 0; i < throws.length; i++) throws[i] ??= { at: new Uint16Array(0), w: new Float32Array(0) };
  return { box, cols, rows, throws, typical };
}

/** @param {Plan} plan @param {number} soft m @returns {Source[]} */
function sourcesOf(plan, soft) {
  return (plan.lamps ?? []).flatMap((lamp) => {
    const cells = lamp.cells ?? [];
    const axis = lamp.class === 'tube' ? null : axisOf(lamp);
    const flat = axis ? Math.hypot(axis[0], axis[1]) : 0;
    const share = lamp.class === 'tube' ? Math.min(1, lamp.length_m / cells.length / soft) : 1;
    return cells.map((cell, i) => ({
      index: lamp.first_cell + i,
      place: cell.place,
      axis,
      narrow: NARROW[lamp.class] ?? 0,
      beam: flat > 0.3 ? BEAM_NARROW[lamp.class] ?? 0 : 0,
      lumens: cell.most_lumens,
      share,
    })).filter((s) => s.lumens > 0);
  });
}

/**
 * Where a lamp looks: at its aim, else down from a height, else all round.
 *
 * @param {PlanLamp} lamp
 * @returns {Point | null} unit vector
 */
function axisOf(lamp) {
  const aim = lamp.aim;
  if (!aim) return lamp.place[2] > 1.2 ? [0, 0, -1] : null;
  const d = /** @type {Point} */ (aim.map((v, i) => v - lamp.place[i]));
  const length = Math.hypot(...d);
  return length > 0 ? /** @type {Point} */ (d.map((v) => v / length)) : null;
}

/**
 * x^n for a whole n, by squares: `**` takes several times as long, and a plan asks for
 * millions of them before its first picture.
 *
 * @param {number} x
 * @param {number} n 0 or more
 */
function power(x, n) {
  let out = 1;
  for (let left = n, square = x; left > 0; left >>= 1, square *= square) if (left & 1) out *= square;
  return out;
}

/**
 * A smooth lobe about an axis, ((1 + cos) / 2)^n, that holds the same light
 * whatever its width: mean 1 over all directions.
 *
 * @param {number} cos of the angle from the axis
 * @param {number} n whole
 */
export function lobe(cos, n) {
  return (n + 1) * power((1 + cos) / 2, n);
}

/**
 * Light on flat ground per lumen, in units of 1/(4 pi) lux: inverse square
 * and cosine law.
 *
 * @param {Source} s
 * @param {number} x from the cell, m
 * @param {number} y
 */
export function onGround(s, x, y) {
  const h = Math.max(LEAST_HEIGHT, s.place[2]);
  const d2 = x * x + y * y + h * h;
  const d = Math.sqrt(d2);
  const e = h / (d2 * d);
  return s.axis ? e * lobe((x * s.axis[0] + y * s.axis[1] - h * s.axis[2]) / d, s.narrow) : e;
}

/**
 * The glow of the cell itself and its beam in the air, 1 at the cell.
 *
 * @param {Source} s
 * @param {number} x
 * @param {number} y
 * @param {number} soft m
 */
function inAir(s, x, y, soft) {
  const r2 = x * x + y * y;
  const near = soft * soft;
  const q = near / (r2 + near);
  let v = GLOW * s.share * q * Math.sqrt(q);
  if (s.beam > 0 && s.axis) {
    const r = Math.sqrt(r2) || 1e-6;
    const cos = (x * s.axis[0] + y * s.axis[1]) / (r * Math.sqrt(s.axis[0] * s.axis[0] + s.axis[1] * s.axis[1]));
    v += (BEAM * power((1 + cos) / 2, s.beam)) / (1 + r2 / 3);
  }
  return v;
}

/**
 * @param {Source} s
 * @param {Box} box
 * @param {number} cols
 * @param {number} rows
 * @param {number} typical
 * @param {number} soft m
 * @param {Float32Array} scratch cols * rows
 * @returns {Throw}
 */
function throwOf(s, box, cols, rows, typical, soft, scratch) {
  const dx = box.w / cols;
  const dy = box.h / rows;
  const air = typical / s.lumens;
  const cut = CUT * air;
  let kept = 0;
  for (let r = 0, k = 0; r < rows; r++) {
    const y = box.y + box.h - (r + 0.5) * dy - s.place[1];
    for (let c = 0; c < cols; c++, k++) {
      const x = box.x + (c + 0.5) * dx - s.place[0];
      const w = onGround(s, x, y) + air * inAir(s, x, y, soft);
      scratch[k] = w;
      if (w > cut) kept++;
    }
  }
  const at = new Uint16Array(kept);
  const w = new Float32Array(kept);
  for (let k = 0, i = 0; k < scratch.length; k++) {
    if (scratch[k] <= cut) continue;
    at[i] = k;
    w[i++] = scratch[k];
  }
  return { at, w };
}

/**
 * A middling brightness of the ground with every cell at its most: what the
 * exposure is set by, so that it stays the same whatever the lamps do.
 *
 * @param {Source[]} sources
 * @param {Box} box
 * @param {number} cols
 * @param {number} rows
 */
function typicalLight(sources, box, cols, rows) {
  /** @type {number[]} */
  const light = [];
  for (let r = COARSE / 2; r < rows; r += COARSE) {
    for (let c = COARSE / 2; c < cols; c += COARSE) {
      const px = box.x + (c / cols) * box.w;
      const py = box.y + box.h - (r / rows) * box.h;
      let sum = 0;
      for (const s of sources) sum += s.lumens * onGround(s, px - s.place[0], py - s.place[1]);
      light.push(sum);
    }
  }
  light.sort((a, b) => a - b);
  return light[Math.floor(light.length * 0.6)] || 1;
}

/**
 * Adds up the light of all cells on the grid.
 *
 * @param {Ground} ground
 * @param {ArrayLike<number>} rgb linear light of each cell, three a cell, scaled by its lumens; may be under 0
 * @param {Float32Array} out three a point, cleared first
 */
export function lightGround(ground, rgb, out) {
  out.fill(0);
  const cells = Math.min(ground.throws.length, rgb.length / 3);
  for (let i = 0; i < cells; i++) {
    const r = rgb[i * 3];
    const g = rgb[i * 3 + 1];
    const b = rgb[i * 3 + 2];
    if (r === 0 && g === 0 && b === 0) continue;
    const { at, w } = ground.throws[i];
    for (let k = 0; k < at.length; k++) {
      const o = at[k] * 3;
      const v = w[k];
      out[o] += v * r;
      out[o + 1] += v * g;
      out[o + 2] += v * b;
    }
  }
}
