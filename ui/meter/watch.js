// Has the daemon push what its meter reads while somebody looks at it.

/** @import {Command, Outcome} from '../types' */
/** @import {Store} from '../state.js' */

/**
 * @param {Store} store
 * @param {(command: Command) => Promise<Outcome>} send
 */
export function createWatch(store, send) {
  let watching = false;

  /** Asks for readings, or for none any more, as the page is now. */
  function sync() {
    const { panel, link } = store.get();
    if (link.phase !== 'up') {
      watching = false; // a new link begins with none
      return;
    }
    const wanted = panel === 'meter';
    if (wanted === watching) return;
    watching = wanted;
    if (!wanted) store.update({ meter: null });
    send({ verb: 'watch', meter: wanted }).then((outcome) => {
      if (!outcome.ok && wanted) watching = false;
    });
  }

  return { start: () => store.subscribe(sync) };
}
