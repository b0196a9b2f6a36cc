// A feed that shows either what is on the wire or what somebody only looks at.

/**
 * @template T
 * @typedef {{get: () => T | null, subscribe: (reader: () => void) => () => void}} Source
 */

/**
 * Shows what is not on set.
 *
 * @typedef {object} Look
 * @property {(cells: import('../types').CellsFrame | null, shot: import('../types').SeenFrame | null) => void} put
 * @property {(on: boolean) => void} turn to it, or back to the set
 */

/**
 * @template T
 * @param {Source<T>} live
 * @param {Source<T>} blind
 */
export function createBlind(live, blind) {
  let on = false;
  /** @type {Set<() => void>} */
  const readers = new Set();
  const tell = (/** @type {boolean} */ ofBlind) => {
    if (on === ofBlind) for (const read of readers) read();
  };
  live.subscribe(() => tell(false));
  blind.subscribe(() => tell(true));
  return {
    get: () => (on ? blind : live).get(),
    /** @param {() => void} reader @returns {() => void} ends the reading */
    subscribe(reader) {
      readers.add(reader);
      return () => void readers.delete(reader);
    },
    /** @param {boolean} yes */
    turn(yes) {
      if (on === yes) return;
      on = yes;
      tell(on);
    },
  };
}
