// What part of the plan a picture shows, and where a place lies in it.

/** @import {Plan, PlanCell, PlanLamp, Point} from '../types' */
/** @import {Box} from './throw.js' */

/** Room left around what stands at the location, m. */
const MARGIN = 0.6;

/**
 * The box of the plan in the shape of a picture, everything in it.
 *
 * @param {Plan} plan
 * @param {number} aspect width over height
 * @returns {Box}
 */
export function boxOf(plan, aspect) {
  const [x0, y0, x1, y1] = edges(plan);
  const w = x1 - x0 + 2 * MARGIN;
  const h = y1 - y0 + 2 * MARGIN;
  const width = Math.max(w, h * aspect);
  const height = width / aspect;
  return { x: (x0 + x1 - width) / 2, y: (y0 + y1 - height) / 2, w: width, h: height };
}

/**
 * The edges of what is worth seeing: set pieces, marks and lamps. The bounds
 * of the plan also hold cameras, which can stand far off.
 *
 * @param {Plan} plan
 * @returns {[number, number, number, number]} least x, least y, most x, most y
 */
function edges(plan) {
  const points = [
    ...(plan.lamps ?? []).map((l) => l.place),
    ...(plan.marks ?? []).flatMap((m) => m.points),
    ...(plan.set ?? []).flatMap(({ centre: [x, y], size: [w, h] }) => [[x - w / 2, y - h / 2], [x + w / 2, y + h / 2]]),
  ];
  if (points.length === 0) return [...plan.bounds.min, ...plan.bounds.max];
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/**
 * From metres to pixels of a picture.
 *
 * @typedef {object} View
 * @property {number} width px
 * @property {number} height px
 * @property {number} scale px a metre
 * @property {(p: ArrayLike<number>) => [number, number]} at
 *
 * @param {Box} box
 * @param {number} width px
 * @returns {View}
 */
export function viewOf(box, width) {
  const scale = width / box.w;
  return {
    width,
    height: box.h * scale,
    scale,
    at: (p) => [(p[0] - box.x) * scale, (box.y + box.h - p[1]) * scale],
  };
}

/** A tube that stands steeper than this share of its length is drawn lying. */
const STANDING = 0.35;
/** How much of its length a standing tube is drawn with. */
const LAID = 0.55;

/**
 * Where the cells of a lamp are drawn on the plan, in metres, and the half
 * step from the middle of a cell to its end. A standing tube would be a dot
 * from above: it is laid down, away from the middle of the place.
 *
 * @param {PlanLamp} lamp
 * @param {PlanCell[]} cells
 * @param {Box} box
 * @returns {{places: Point[], half: [number, number]}}
 */
export function cellsOnPlan(lamp, cells, box) {
  const along = lamp.along ?? [0, 0, 0];
  const length = Math.hypot(...along);
  if (lamp.class !== 'tube' || length === 0) return { places: cells.map((c) => c.place), half: [0, 0] };
  const step = lamp.length_m / cells.length / 2;
  const flat = Math.hypot(along[0], along[1]) / length;
  if (flat >= STANDING) {
    return {
      places: cells.map((c) => c.place),
      half: [(along[0] / length) * step, (along[1] / length) * step],
    };
  }
  const away = outward(lamp.place, box);
  const places = cells.map((c, i) => {
    const far = (2 * i + 1) * step * LAID;
    return /** @type {Point} */ ([c.place[0] + away[0] * far, c.place[1] + away[1] * far, c.place[2]]);
  });
  return { places, half: [away[0] * step * LAID, away[1] * step * LAID] };
}

/** @param {Point} p @param {Box} box @returns {[number, number]} */
function outward(p, box) {
  const x = p[0] - (box.x + box.w / 2);
  const y = p[1] - (box.y + box.h / 2);
  const d = Math.hypot(x, y);
  return d > 0.01 ? [x / d, y / d] : [0, 1];
}
