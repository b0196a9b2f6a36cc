// What haze gives the picture of a set-up: the daemon computes it when it is asked
// for, as it takes a moment and some hundred kilobytes.

/** @import {Lit, Refusal} from '../types' */
/** @import {Camera} from '../camera/style.js' */

import { useEffect, useState } from '../vendor/htm-preact.js';
import { getBytes } from '../ask.js';
import { readMap } from '../camera/map-reader.js';

/** Shares of light that haze takes on 10 m of its way: barely seen, beams in the air, thick. 0 is none. */
export const HAZES = [0, 0.05, 0.15, 0.4];
/** Wait before what failed is asked for again, ms. */
const RETRY_MS = 5000;

/**
 * Has the camera draw haze. What is ready is drawn; what is not yet is waited for, or why it does not come.
 *
 * @param {{camera: Camera | null, lit: Lit | null, setup: number, share: number}} wish
 * @returns {{ready: number, refusal: Refusal | null}} the share that can be drawn
 */
export function useHaze({ camera, lit, setup, share }) {
  const [has, setHas] = useState(/** @type {{lit: Lit, camera: Camera, setup: number, share: number} | null} */ (null));
  const [refusal, setRefusal] = useState(/** @type {Refusal | null} */ (null));
  const [tries, setTries] = useState(0);
  const name = lit?.scene.setups[setup]?.name;

  useEffect(() => {
    setRefusal(null);
    if (!camera || !lit || !name || !share) return;
    const asked = new AbortController();
    /** @type {any} */
    let again = null;
    getBytes(`/api/haze?setup=${encodeURIComponent(name)}&share=${share}`, asked.signal).then(readMap).then((map) => {
      if (asked.signal.aborted) return;
      camera.takeAir({ setup, haze: share, map });
      setHas({ lit, camera, setup, share });
    }).catch((why) => {
      if (asked.signal.aborted) return;
      setRefusal(why instanceof Error ? { code: 'no-haze', message: why.message } : why);
      again = setTimeout(() => setTries((n) => n + 1), RETRY_MS);
    });
    return () => {
      asked.abort();
      clearTimeout(again);
    };
  }, [camera, lit, name, share, tries]);

  const ready = has?.lit === lit && has.camera === camera && has.setup === setup && has.share === share;
  return { ready: ready ? share : 0, refusal };
}
