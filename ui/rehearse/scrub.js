// Looks into the middle of cues without running them: the newest place of the
// finger is asked for, and what the daemon computes for it goes to the pictures.

/** @import {CellsFrame, SeenFrame} from '../types' */

import { parseCellsFrame } from '../light/frame.js';
import { parseSeenFrame } from '../camera/seen.js';
import { createNewest } from '../newest.js';

/**
 * @param {{fetch: (url: string) => Promise<Response>, frame: (run: () => void) => void,
 *   cells: (f: CellsFrame) => void, seen: (f: SeenFrame) => void, failed: () => void}} world
 */
export function createScrub(world) {
  let turn = 0;

  /** @param {string} url */
  async function get(url) {
    const response = await world.fetch(url);
    if (!response.ok) throw new Error(`${url}: HTTP ${response.status}`);
    return response.arrayBuffer();
  }

  const newest = createNewest(async (/** @type {{cue: number, at: number}} */ { cue, at }) => {
    const mine = ++turn;
    try {
      const path = `/api/cues/${cue}/`;
      const [cells, seen] = await Promise.all([get(`${path}cells?at=${at}`), get(`${path}seen?at=${at}`)]);
      const light = parseCellsFrame(cells);
      const shot = parseSeenFrame(seen);
      // Numbered, so that the picture knows a new one.
      if (light) world.cells({ ...light, frame: mine });
      if (shot) world.seen({ ...shot, frame: mine });
    } catch {
      world.failed();
    }
  }, world.frame);

  return {
    /** @param {number} cue @param {number} at share of its time, 0..1 */
    look: (cue, at) => newest.push({ cue, at: Math.round(at * 1e5) / 1e5 }),
  };
}
