// Reads a light map in a worker: that takes a phone a second, in which its page
// would answer no finger.

import { parseMap } from './map.js';

onmessage = ({ data }) => {
  try {
    const map = parseMap(data);
    postMessage({ map }, { transfer: [map.hidden.buffer, map.tops.buffer, ...map.codes.map((c) => c.buffer)] });
  } catch (why) {
    postMessage({ error: /** @type {Error} */ (why).message });
  }
};
