// Fetches what changes seldom: the plan, and the settled light of each look.

/** @import {Plan} from './types' */
/** @import {Store} from './state.js' */

import { parseCellsFrame } from './light/frame.js';

/** Wait before a failed fetch is tried again, ms. */
const RETRY_MS = 1000;

/**
 * @param {Store} store
 * @param {{fetch: (url: string) => Promise<Response>, setTimer: (run: () => void, ms: number) => any}} world
 */
export function createLoader(store, world) {
  let loading = false;
  let again = false;
  let retrying = false;

  /** @param {string} url */
  async function get(url) {
    const response = await world.fetch(url);
    if (!response.ok) throw new Error(`${url}: HTTP ${response.status}`);
    return response;
  }

  async function load() {
    /** @type {Plan} */
    const plan = await (await get('/api/plan')).json();
    store.update({ plan, looks: {} });
    for (const look of plan.looks ?? []) {
      if (store.get().plan !== plan) return;
      const response = await get(`/api/looks/${encodeURIComponent(look.name)}/cells`).catch(() => null);
      const frame = response && parseCellsFrame(await response.arrayBuffer());
      if (frame && store.get().plan === plan) store.update({ looks: { ...store.get().looks, [look.name]: frame.xyz } });
    }
  }

  async function refresh() {
    if (loading) {
      again = true;
      return;
    }
    loading = true;
    again = retrying = false;
    const ok = await load().then(() => true, () => false);
    loading = false;
    if (!ok) {
      retrying = true;
      world.setTimer(() => retrying && refresh(), RETRY_MS);
    } else if (again) refresh();
  }

  return {
    /** Fetches plan and looks anew; calls made meanwhile become one more fetch. */
    refresh,
    /**
     * Fetches the plan when the one at hand is not of this revision and no
     * fetch is under way or due.
     *
     * @param {number} revision
     */
    want(revision) {
      if (!loading && !retrying && store.get().plan?.revision !== revision) refresh();
    },
  };
}
