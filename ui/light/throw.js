// Light on the ground: what each cell adds to each point of a coarse grid over
// the plan. It is computed once for a plan; every picture after that is a
// weighted sum. A sketch to recognise a look by, not a meter: the ground is
// flat, nothing casts a shadow.

/** @import {Plan, PlanLamp, Point} from '../types' */

/** Lowest height that light is thrown from, m: what lies on the ground still has a width. */
const LEAST_HEIGHT = 0.45;
/** A point of the grid is left out where a cell gives less than this share of its most. */
const CUT = 0.004;
/** How narrow a lamp of a class throws: exponent of the cosine from its axis. */
const NARROWNESS = /** @type {Record<string, number>} */ ({ spot: 14, panel: 2.5, puck: 1.2 });

/**
 * The box of the plan that a picture shows, in metres.
 *
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 *
 * Weights of one cell: `at` are indices into the grid, `w` lux per lumen
 * times a half turn, in the same order.
 *
 * @typedef {{at: Uint16Array, w: Float32Array}} Throw
 *
 * @typedef {{box: Box, cols: number, rows: number, throws: Throw[], typical: number}} Ground
 */

/**
 * @param {Plan} plan
 * @param {Box} box
 * @param {number} cols
 * @param {number} rows cols * rows <= 65536
 * @returns {Ground}
 */
export function layGround(plan, box, cols, rows) {
  /** @type {Throw[]} */
  const throws = [];
  const scratch = new Float32Array(cols * rows);
  for (const lamp of plan.lamps ?? []) {
    const axis = lamp.class === 'tube' ? null : axisOf(lamp);
    (lamp.cells ?? []).forEach((cell, i) => {
      throws[lamp.first_cell + i] = throwOf(cell.place, axis, NARROWNESS[lamp.class] ?? 1, box, cols, rows, scratch);
    });
  }
  for (let i = 0; i < throws.length; i++) throws[i] ??= { at: new Uint16Array(0), w: new Float32Array(0) };
  return { box, cols, rows, throws, typical: typicalLight(plan, throws, cols * rows) };
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
 * E = I cos(e) / d^2 on flat ground (the inverse-square and cosine law), with
 * I all round as a bare tube or cos^n about the axis.
 *
 * @param {Point} from
 * @param {Point | null} axis
 * @param {number} n
 * @param {Box} box
 * @param {number} cols
 * @param {number} rows
 * @param {Float32Array} scratch cols * rows
 * @returns {Throw}
 */
function throwOf(from, axis, n, box, cols, rows, scratch) {
  const h = Math.max(LEAST_HEIGHT, from[2]);
  const dx = box.w / cols;
  const dy = box.h / rows;
  let most = 0;
  for (let r = 0, k = 0; r < rows; r++) {
    const y = box.y + box.h - (r + 0.5) * dy - from[1];
    for (let c = 0; c < cols; c++, k++) {
      const x = box.x + (c + 0.5) * dx - from[0];
      const d2 = x * x + y * y + h * h;
      const d = Math.sqrt(d2);
      let e = h / (d2 * d);
      if (axis) {
        const cos = (x * axis[0] + y * axis[1] - h * axis[2]) / d;
        e *= cos <= 0 ? 0 : 2 * (n + 1) * cos ** n;
      }
      scratch[k] = e;
      if (e > most) most = e;
    }
  }
  const cut = most * CUT;
  let kept = 0;
  for (let k = 0; k < scratch.length; k++) if (scratch[k] > cut) kept++;
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
 * @param {Plan} plan
 * @param {Throw[]} throws
 * @param {number} points
 */
function typicalLight(plan, throws, points) {
  const sum = new Float32Array(points);
  for (const lamp of plan.lamps ?? []) {
    (lamp.cells ?? []).forEach((cell, i) => {
      const { at, w } = throws[lamp.first_cell + i];
      for (let k = 0; k < at.length; k++) sum[at[k]] += w[k] * cell.most_lumens;
    });
  }
  const lit = sum.filter((v) => v > 0).sort();
  return lit.length ? lit[Math.floor(lit.length * 0.6)] : 1;
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
