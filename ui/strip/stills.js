// Fetches the small picture of each look, which the daemon draws once its light is
// computed: as the camera of the set-up that is chosen sees it.

/** @import {Live} from '../types' */
/** @import {Store} from '../state.js' */

import { createAttempt } from '../attempt.js';

/**
 * @param {Store} store
 * @param {{fetch: (url: string) => Promise<Response>, setTimer: (run: () => void, ms: number) => any,
 *   decode: (picture: Blob) => Promise<ImageBitmap>}} world
 */
export function createStills(store, world) {
  const attempt = createAttempt(world.setTimer);
  /** What those at hand are of; "" without any. */
  let of = '';

  /** @param {string} look @param {string} setup @returns {Promise<ImageBitmap | null>} null for a look that cannot be shown */
  async function get(look, setup) {
    const response = await world.fetch(`/api/looks/${encodeURIComponent(look)}/still?setup=${encodeURIComponent(setup)}`);
    if (response.status === 409) return null;
    if (!response.ok) throw new Error(`HTTP ${response.status}`);
    return world.decode(await response.blob());
  }

  /** @param {Live} live @param {string} wanted */
  async function load(live, wanted) {
    const { plan } = store.get();
    /** @type {Record<string, ImageBitmap>} */
    const all = {};
    for (const look of plan?.looks ?? []) {
      const picture = await get(look.name, live.setup);
      if (keyOf(store.get().live) !== wanted) return;
      if (picture) all[look.name] = picture;
    }
    of = wanted;
    store.update({ stills: all });
  }

  return {
    /**
     * Fetches the pictures of what the daemon has now, where those at hand are of something
     * else; to be called with each state. Until they have come those of the same place stay.
     *
     * @param {Live} live
     */
    async want(live) {
      const { plan } = store.get();
      const wanted = keyOf(live);
      if (of && (!wanted || !of.startsWith(placeOf(live)))) {
        of = '';
        store.update({ stills: {} });
      }
      if (!wanted || wanted === of || attempt.waits || plan?.revision !== live.revision) return;
      await attempt.at(load(live, wanted));
    },
  };
}

/** @param {Live} live */
const placeOf = (live) => `${live.show}/${live.location}/`;

/** What pictures are of; "" where there are none. @param {Live | null} live */
const keyOf = (live) => (live?.light?.stage === 'bounced' && live.setup ? placeOf(live) + [live.revision, live.light.hash, live.setup].join('/') : '');
