// Where a lamp is on the picture of the plan: its outline, its end with cell 1,
// the handle that turns it, and where its name has room. Pure.

/** @import {PlanCell, PlanLamp, Point} from '../types' */
/** @import {Box} from '../light/throw.js' */
/** @import {View} from '../light/box.js' */

import { cellsOnPlan } from '../light/box.js';
import { turnOf } from './stand.js';

/** How far the handle is from the end of the lamp, px. */
export const HANDLE_PX = 40;
/** How near a finger must come to a lamp, px. */
const NEAR_PX = 26;
/** Between a lamp and its ring, px. */
const GAP_PX = 8;
/** From here on there is room for names, px a metre; below it only the chosen lamp has one. */
const NAMES_SCALE = 20;
/** Room of a letter and of a line, px. */
const LETTER_PX = 6.1;
const LINE_PX = 12;

/**
 * @typedef {object} Outline px
 * @property {string} id
 * @property {[number, number]} middle
 * @property {Array<[number, number]>} at of each cell
 * @property {number} long of the ring, along the lamp
 * @property {number} wide of the ring
 * @property {number} angle degrees, clockwise on the picture
 * @property {[number, number] | null} first beyond the end with cell 1; null for a lamp without ends
 * @property {[number, number] | null} handle null for a lamp that cannot be turned from above
 */

/**
 * The cells of a lamp where it stands, also while it is dragged.
 *
 * @param {PlanLamp} lamp
 * @returns {PlanCell[]}
 */
export function cellsStanding(lamp) {
  const cells = lamp.cells ?? [];
  const along = lamp.along ?? [0, 0, 0];
  const length = Math.hypot(...along);
  return cells.map((c, i) => {
    const far = length === 0 || cells.length < 2 ? 0 : (((i + 0.5) / cells.length - 0.5) * lamp.length_m) / length;
    return { ...c, place: /** @type {Point} */ (lamp.place.map((v, k) => v + far * along[k])) };
  });
}

/** @param {PlanLamp} lamp @param {Box} box @param {View} view @returns {Outline} */
export function outlineOf(lamp, box, view) {
  const cells = cellsStanding(lamp);
  const { places, half } = cellsOnPlan(lamp, cells, box);
  const at = (places.length ? places : [lamp.place]).map((p) => view.at(p));
  const first = at[0];
  const last = at[at.length - 1];
  const middle = /** @type {[number, number]} */ ([(first[0] + last[0]) / 2, (first[1] + last[1]) / 2]);
  const dx = last[0] - first[0] + 2 * half[0] * view.scale;
  const dy = last[1] - first[1] - 2 * half[1] * view.scale;
  const length = Math.hypot(dx, dy);
  const size = (lamp.class === 'tube' ? 0.05 : Math.max(lamp.width_m, lamp.length_m)) * view.scale;
  const wide = Math.max(size, 6) + 2 * GAP_PX;
  const unit = length > 0 ? [dx / length, dy / length] : [1, 0];
  const end = length / 2 + wide / 2;
  const turn = turnOf(lamp);
  const way = turn ? (turn.degrees * Math.PI) / 180 : 0;
  const out = (turn?.by === 'along' ? end : wide / 2) + HANDLE_PX - 10;
  return {
    id: lamp.id, middle, at, long: length + wide, wide, angle: (Math.atan2(unit[1], unit[0]) * 180) / Math.PI,
    first: at.length > 1 ? [middle[0] - unit[0] * (end + 7), middle[1] - unit[1] * (end + 7)] : null,
    handle: turn ? [middle[0] + out * Math.cos(way), middle[1] - out * Math.sin(way)] : null,
  };
}

/** The lamp under a finger; "" for none. @param {Outline[]} outlines @param {number} x @param {number} y */
export function nearestLamp(outlines, x, y) {
  let best = '';
  let least = NEAR_PX;
  for (const o of outlines) {
    for (const [cx, cy] of o.at) {
      const d = Math.hypot(cx - x, cy - y);
      if (d < least) [least, best] = [d, o.id];
    }
  }
  return best;
}

/**
 * Where names have room: the chosen one first, then in rig order; one that would
 * lie over another is left out.
 *
 * @param {Outline[]} outlines
 * @param {string} chosen
 * @param {{w: number, h: number, scale: number}} size
 */
export function nameSpots(outlines, chosen, size) {
  /** @type {Array<{text: string, x: number, y: number, anchor: string}>} */
  const spots = [];
  /** @type {number[][]} */
  const boxes = [];
  const order = [...outlines].sort((a, b) => Number(b.id === chosen) - Number(a.id === chosen));
  for (const o of order) {
    if (size.scale < NAMES_SCALE && o.id !== chosen) continue;
    const w = o.id.length * LETTER_PX;
    const x = Math.min(Math.max(o.middle[0], w / 2 + 2), Math.max(w / 2 + 2, size.w - w / 2 - 2));
    const below = Math.max(...o.at.map((p) => p[1])) + o.wide / 2 + 9;
    const above = Math.min(...o.at.map((p) => p[1])) - o.wide / 2 - 3;
    for (const y of [below, above]) {
      const box = [x - w / 2, y - LINE_PX + 2, x + w / 2, y + 2];
      const fits = box[1] > 0 && box[3] < size.h && boxes.every((b) => box[2] < b[0] || box[0] > b[2] || box[3] < b[1] || box[1] > b[3]);
      if (!fits && o.id !== chosen) continue;
      boxes.push(box);
      spots.push({ text: o.id, x, y, anchor: 'middle' });
      break;
    }
  }
  return spots;
}
