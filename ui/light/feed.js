// The newest light of every cell. It changes too often for the page's state;
// whoever draws it reads here.

/** @import {CellsFrame, SeenFrame} from '../types' */

/**
 * What holds the newest frame.
 *
 * @template {CellsFrame | SeenFrame} Frame
 */
export function createFeed() {
  /** @type {Frame | null} */
  let latest = null;
  /** @type {Set<() => void>} */
  const readers = new Set();

  return {
    get: () => latest,
    /** @param {Frame} frame */
    put(frame) {
      latest = frame;
      for (const read of readers) read();
    },
    /** @param {() => void} reader @returns {() => void} ends the reading */
    subscribe(reader) {
      readers.add(reader);
      return () => void readers.delete(reader);
    },
  };
}

/** @typedef {ReturnType<typeof createFeed<CellsFrame>>} Feed */
/** @typedef {ReturnType<typeof createFeed<SeenFrame>>} SeenFeed */
/** What only reads it. @typedef {Pick<Feed, 'get' | 'subscribe'>} Shown */
/** @typedef {Pick<SeenFeed, 'get' | 'subscribe'>} ShownSeen */
