// Answers what a page asks of the hand that draws: in a worker, or where there
// is none in the page itself.

/** @import {LightMap, Scene} from '../types' */
/** @import {Air, Style} from './style.js' */

import { createHand } from './hand.js';

/**
 * What is asked, and the answer's number.
 *
 * @typedef {import('./hand.js').How} How
 * @typedef {{ask: 'load', id: number, scene: Scene, map: LightMap}} Load
 * @typedef {{ask: 'air', id: number, air: Air}} TakeAir
 * @typedef {{ask: 'draw', id: number, setup: number, rgb: Float32Array, style: Style, image: ImageData, how: How}} Draw
 * @typedef {{ask: 'read', id: number, x: number, y: number}} Read
 * @typedef {{id: number, image?: ImageData, stops?: number, error?: string}} Answer
 */

/** @returns {(asked: Load | TakeAir | Draw | Read) => Answer} */
export function createDesk() {
  /** @type {ReturnType<typeof createHand> | null} */
  let hand = null;

  return (asked) => {
    const { id } = asked;
    try {
      switch (asked.ask) {
        case 'load':
          hand = null; // both would need much memory
          hand = createHand(asked.scene, asked.map);
          return { id };
        case 'air':
          hand?.takeAir(asked.air);
          return { id };
        case 'draw':
          hand?.draw(asked.setup, asked.rgb, asked.style, asked.image, asked.how);
          return { id, image: asked.image };
        default:
          return { id, stops: hand?.read(asked.x, asked.y) ?? -Infinity };
      }
    } catch (why) {
      return { id, error: String(why) };
    }
  };
}
