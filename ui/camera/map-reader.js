// Light maps as they come, read aside from the page where there are workers.

/** @import {LightMap} from '../types' */

import { parseMap } from './map.js';

/**
 * Reads a light map; fails with what is wrong with one that is none.
 *
 * @param {ArrayBuffer} bytes
 * @returns {Promise<LightMap>}
 */
export async function readMap(bytes) {
  const worker = startWorker();
  if (!worker) return parseMap(bytes);
  try {
    return await new Promise((resolve, reject) => {
      worker.onmessage = ({ data }) => (data.map ? resolve(data.map) : reject(new Error(data.error)));
      worker.onerror = () => reject(null);
      worker.postMessage(bytes);
    });
  } catch (why) {
    if (why) throw why;
    return parseMap(bytes); // a worker that does not run here
  } finally {
    worker.terminate();
  }
}

/** @returns {Worker | null} */
function startWorker() {
  try {
    return new Worker(new URL('./map-worker.js', import.meta.url), { type: 'module' });
  } catch {
    return null;
  }
}
