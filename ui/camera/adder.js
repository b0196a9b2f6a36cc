// The light of a moment on the texels that a sight sees, summed on the page's
// own processor (transport.Map.Sum).

/** @import {LightMap, Scene, SceneSetup} from '../types' */
/** @import {Sight} from './sight.js' */

import { lightFaces } from './faces.js';

/** Light of each code, as a share of its source's most. */
const CUBES = Float32Array.from({ length: 256 }, (_, code) => (code / 255) ** 3);

/**
 * @param {Scene} scene
 * @param {SceneSetup} setup
 * @param {LightMap} map
 * @param {Sight} sight
 */
export function createAdder(scene, setup, map, { texels, finish }) {
  const { channels, sources } = map;
  const n = texels.length;
  const planes = map.codes.map((codes) => Uint8Array.from(texels, (t) => codes[t]));
  const sums = [0, 1, 2].map(() => new Float32Array(n));
  const lights = new Float32Array(3 * (n + sources));

  return {
    /** Bytes that it holds. */
    bytes: planes.length * n + 4 * (lights.length + 3 * n),

    /**
     * What each texel throws back and each lamp gives, red, green and blue: the list of
     * lights that looks read.
     *
     * @param {Float32Array} rgb of each cell
     * @param {number[]} gain of each channel
     */
    lights(rgb, gain) {
      for (let c = 0; c < 3; c++) {
        const sum = sums[c].fill(0);
        addAll(sum, planes, (channels === 1 ? 0 : c) * sources, sources, (k) => (rgb[3 * k + c] ?? 0) * gain[c] * map.tops[k]);
        for (let t = 0; t < n; t++) lights[3 * t + c] = finish[3 * t + c] * sum[t];
      }
      lightFaces(scene, setup, rgb, gain, lights, 3, 3 * n);
      return lights;
    },
  };
}

/**
 * Adds planes by their weights, four at a time, as each pass over the sum costs as much as
 * a plane. Dark cells cost nothing.
 *
 * @param {Float32Array} sum @param {Uint8Array[]} planes @param {number} first @param {number} count
 * @param {(k: number) => number} weight
 */
export function addAll(sum, planes, first, count, weight) {
  /** @type {Array<{codes: Uint8Array, by: number}>} */
  let four = [];
  for (let k = 0; k < count; k++) {
    const by = weight(k);
    if (by > 0) four.push({ codes: planes[first + k], by });
    if (four.length < 4) continue;
    addFour(sum, four[0].codes, four[0].by, four[1].codes, four[1].by, four[2].codes, four[2].by, four[3].codes, four[3].by);
    four = [];
  }
  for (const { codes, by } of four) {
    for (let t = 0; t < sum.length; t++) sum[t] += by * CUBES[codes[t]];
  }
}

/** @param {Float32Array} sum @param {Uint8Array} a @param {number} wa @param {Uint8Array} b @param {number} wb @param {Uint8Array} c @param {number} wc @param {Uint8Array} d @param {number} wd */
function addFour(sum, a, wa, b, wb, c, wc, d, wd) {
  for (let t = 0; t < sum.length; t++) {
    sum[t] += wa * CUBES[a[t]] + wb * CUBES[b[t]] + wc * CUBES[c[t]] + wd * CUBES[d[t]];
  }
}
