// The newest light of every cell. It changes too often for the page's state;
// whoever draws it reads here.

/** @import {CellsFrame} from '../types' */

/** @returns what holds the newest frame */
export function createFeed() {
  /** @type {CellsFrame | null} */
  let latest = null;
  /** @type {Set<() => void>} */
  const readers = new Set();

  return {
    get: () => latest,
    /** @param {CellsFrame} frame */
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

/** @typedef {ReturnType<typeof createFeed>} Feed */
