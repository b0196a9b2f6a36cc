// What haze gives a picture, on the page's own processor: the light of a moment
// in the blocks of the picture, and between their middles (picture.Air).

/** @import {LightMap} from '../types' */

import { addAll } from './adder.js';
import { addLarger } from './mist.js';

/** @param {LightMap} map of the blocks */
export function createAir(map) {
  const { nu, nv } = map.grids[0];
  const sum = new Float32Array(map.texels);
  const blocks = new Float32Array(3 * map.texels);

  return {
    /**
     * @param {Float32Array} frame red, green, blue of each pixel
     * @param {number} width
     * @param {number} height
     * @param {Float32Array} rgb of each cell
     * @param {number[]} gain of each channel
     */
    addTo(frame, width, height, rgb, gain) {
      for (let c = 0; c < 3; c++) {
        addAll(sum.fill(0), map.codes, 0, map.sources, (k) => (rgb[3 * k + c] ?? 0) * gain[c] * map.tops[k]);
        for (let b = 0; b < sum.length; b++) blocks[3 * b + c] = sum[b];
      }
      addLarger(frame, width, height, 1, blocks, nu, nv);
    },
  };
}
