// Fetches the small picture of each look, which the daemon draws once its light is
// computed: as the camera of the set-up that is chosen sees it.

/** @import {Live} from '../types' */
/** @import {Store} from '../state.js' */

/** Wait before a failed fetch is tried again, ms. */
const RETRY_MS = 2000;

/**
 * @param {Store} store
 * @param {{fetch: (url: string) => Promise<Response>, setTimer: (run: () => void, ms: number) => any,
 *   decode: (picture: Blob) => Promise<ImageBitmap>}} world
 */
export function createStills(store, world) {
  let busy = false;
  let failed = false;
  /** What those at hand are of. */
  let of = '';
  let place = '';

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
      if (place !== placeOf(live) || !wanted) {
        if (of) store.update({ stills: {} });
        of = '';
        place = placeOf(live);
      }
      if (!wanted || wanted === of || busy || failed || plan?.revision !== live.revision) return;
      busy = true;
      const ok = await load(live, wanted).then(() => true, () => false);
      busy = false;
      if (ok) return;
      failed = true;
      world.setTimer(() => (failed = false), RETRY_MS);
    },
  };
}

/** @param {Live} live */
const placeOf = (live) => `${live.show}/${live.location}`;

/** What pictures are of; "" where there are none. @param {Live | null} live */
const keyOf = (live) => (live?.light?.stage === 'bounced' && live.setup ? [placeOf(live), live.revision, live.light.hash, live.setup].join('/') : '');
