// Stand-ins on their walks, drawn over the picture: simple figures that show where
// somebody is. They are lit by nothing and throw no shadow.
// Use: `<${Figures} walks=${walks} at=${ms} place=${fn} />`.

/** @import {Plan, Point, SceneSetup, TimelineWalk} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { lensMatrix } from '../camera/lens.js';
import { boxOf } from '../light/box.js';
import { words } from '../format.js';

/** Farthest that the camera's figures are drawn, m. */
const FAR = 200;

/**
 * Where somebody on a walk is, ms from the start of the line.
 *
 * @param {TimelineWalk} walk
 * @param {number} ms
 * @returns {Point}
 */
export function onWalk({ points, start_ms, end_ms }, ms) {
  const share = end_ms > start_ms ? Math.min(1, Math.max(0, (ms - start_ms) / (end_ms - start_ms))) : Number(ms >= start_ms);
  const legs = points.slice(1).map((p, i) => Math.hypot(p[0] - points[i][0], p[1] - points[i][1], p[2] - points[i][2]));
  let left = share * legs.reduce((sum, l) => sum + l, 0);
  for (let i = 0; i < legs.length; i++) {
    if (legs[i] > 0 && left <= legs[i]) {
      const t = left / legs[i];
      return /** @type {Point} */ (points[i].map((v, k) => v + t * (points[i + 1][k] - v)));
    }
    left -= legs[i];
  }
  return points[points.length - 1];
}

/**
 * Where a figure is in a picture, shares of its width and height: its foot and the
 * top of its head. Null behind the camera.
 *
 * @typedef {(foot: Point, height: number) => {foot: [number, number], head: [number, number]} | null} Placing
 */

/** @param {SceneSetup} setup @param {number} aspect @returns {Placing} */
export function inShot(setup, aspect) {
  const m = lensMatrix(setup, aspect, FAR);
  /** @param {number} x @param {number} y @param {number} z @returns {[number, number] | null} */
  const put = (x, y, z) => {
    const [u, v, , w] = [0, 1, 2, 3].map((r) => m[r] * x + m[4 + r] * y + m[8 + r] * z + m[12 + r]);
    return w > 0.1 ? [(1 + u / w) / 2, (1 - v / w) / 2] : null;
  };
  return ([x, y, z], height) => {
    const foot = put(x, y, z);
    const head = put(x, y, z + height);
    return foot && head && { foot, head };
  };
}

/** @param {Plan} plan @param {number} aspect @returns {Placing} */
export function onPlan(plan, aspect) {
  const box = boxOf(plan, aspect);
  return ([x, y]) => {
    /** @type {[number, number]} */
    const at = [(x - box.x) / box.w, (box.y + box.h - y) / box.h];
    return { foot: at, head: at };
  };
}

/** @param {{walks: TimelineWalk[], at: number, place: Placing}} props */
export function Figures({ walks, at, place }) {
  const percent = (/** @type {number} */ share) => `${(100 * share).toFixed(2)}%`;
  return walks.map((walk) => {
    const there = place(onWalk(walk, at), walk.height_m);
    if (!there) return null;
    const { foot, head } = there;
    return html`
      <i class="figure" key=${walk.name} data-test=${`figure-${walk.name}`} style=${{ left: percent(foot[0]), top: percent(head[1]), height: percent(foot[1] - head[1]) }} title=${words(walk.name)}></i>
    `;
  });
}
