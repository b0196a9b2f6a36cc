// Fetches what the camera's picture is made of, as it comes: the scene of the
// location, its light as far as that is computed, and what each look gives.

/** @import {LightMap, Live, Plan, Scene} from '../types' */
/** @import {Store} from '../state.js' */

import { createAttempt } from '../attempt.js';
import { readMap } from './map-reader.js';
import { parseSeenFrame } from './seen.js';

/**
 * @param {Store} store
 * @param {{fetch: (url: string) => Promise<Response>, setTimer: (run: () => void, ms: number) => any,
 *   load: (scene: Scene, map: LightMap) => void | Promise<void>}} world load makes it ready to be drawn, or fails with why it cannot
 */
export function createSupply(store, world) {
  const attempt = createAttempt(world.setTimer);
  /** The newest map: an edit of the show mostly leaves the light of its place as it was. @type {{hash: string, map: LightMap} | null} */
  let kept = null;

  /** @param {string} url */
  async function get(url) {
    const response = await world.fetch(url);
    if (!response.ok) throw new Error(`${url}: HTTP ${response.status}`);
    return response;
  }

  async function fetchMap() {
    const response = await get('/api/light');
    const hash = (response.headers.get('ETag') ?? '').replace(/^W\/|"|-gzip/g, '');
    return { hash, map: await readMap(await response.arrayBuffer()) };
  }

  /** @param {Live} live */
  async function load(live) {
    /** @type {Scene} */
    const scene = await (await get('/api/scene')).json();
    const light = kept && kept.hash === live.light?.hash ? kept : await fetchMap();
    kept = light;
    const { hash, map } = light;
    const { seen } = store.get();
    const now = store.get().live;
    // What came may be of a location that has been left meanwhile.
    if (now?.revision !== live.revision || scene.revision !== live.revision || map.sources !== scene.lamps.length) return;
    try {
      await world.load(scene, map);
    } catch (why) {
      store.update({ lit: null, unable: /** @type {Error} */ (why).message });
      return;
    }
    if (store.get().live?.revision !== live.revision) return;
    store.update({ lit: { revision: live.revision, hash, scene, map }, seen: store.get().lit?.revision === live.revision ? seen : {} });
    await loadLooks(live.revision);
  }

  /** @param {number} revision */
  async function loadLooks(revision) {
    const plan = store.get().plan;
    if (plan?.revision !== revision) return; // once the plan is there, the next state asks again
    for (const look of plan.looks ?? []) {
      if (store.get().seen[look.name]) continue;
      const response = await get(`/api/looks/${encodeURIComponent(look.name)}/seen`).catch(() => null);
      const frame = response && parseSeenFrame(await response.arrayBuffer());
      if (store.get().live?.revision !== revision) return;
      if (frame) store.update({ seen: { ...store.get().seen, [look.name]: frame.rgb } });
    }
  }

  /** @param {Live} live @param {Plan | null} plan */
  const lacksLooks = (live, plan) => plan?.revision === live.revision && (plan.looks ?? []).some((l) => !store.get().seen[l.name]);

  return {
    /**
     * Fetches what is not at hand of what the daemon has now; to be called
     * with each state.
     *
     * @param {Live} live
     */
    async want(live) {
      const { lit, plan } = store.get();
      if (lit && lit.revision !== live.revision) store.update({ lit: null, seen: {} });
      if (attempt.waits || !live.light?.hash || store.get().unable) return;
      const newer = lit?.revision !== live.revision || lit.hash !== live.light.hash;
      if (!newer && !lacksLooks(live, plan)) return;
      await attempt.at(newer ? load(live) : loadLooks(live.revision));
    },
  };
}
