// The light map as the daemon encodes it: for every source and channel a byte
// for every texel. See colour/transport, encode.go.

/** @import {LightMap} from '../types' */

const MAGIC = 'lbylight';
const VERSION = 2;
const HEAD_BYTES = 24;

/**
 * Reads a light map. Its planes are views on `buffer`. Throws what is wrong
 * with one that is none.
 *
 * @param {ArrayBuffer} buffer
 * @returns {LightMap}
 */
export function parseMap(buffer) {
  const bytes = new Uint8Array(buffer);
  if (bytes.length < HEAD_BYTES || String.fromCharCode(...bytes.subarray(0, 8)) !== MAGIC) throw new Error('this is no light map');
  const view = new DataView(buffer);
  const version = view.getUint16(8, true);
  if (version !== VERSION) throw new Error(`this is a light map of version ${version}, not ${VERSION}`);
  const channels = view.getUint16(10, true);
  const surfaces = view.getUint32(12, true);
  const sources = view.getUint32(16, true);
  const texels = view.getUint32(20, true);
  const hiddenAt = HEAD_BYTES + 4 * surfaces;
  const planesAt = hiddenAt + Math.ceil(texels / 8);
  const planeBytes = 4 + texels;
  if ((channels !== 1 && channels !== 3) || bytes.length !== planesAt + channels * sources * planeBytes) {
    throw new Error(`this light map has ${bytes.length} bytes, not what its head says`);
  }
  return { channels, sources, texels, grids: readGrids(view, surfaces, texels), hidden: bytes.subarray(hiddenAt, planesAt), ...readPlanes(view, planesAt, channels, sources, texels) };
}

/** @param {DataView} view @param {number} surfaces @param {number} texels */
function readGrids(view, surfaces, texels) {
  let first = 0;
  const grids = Array.from({ length: surfaces }, (_, i) => {
    const grid = { first, nu: view.getUint16(HEAD_BYTES + 4 * i, true), nv: view.getUint16(HEAD_BYTES + 2 + 4 * i, true) };
    first += grid.nu * grid.nv;
    return grid;
  });
  if (first !== texels) throw new Error(`the grids of this light map have ${first} texels, not ${texels}`);
  return grids;
}

/**
 * Green and blue come as what they differ from red.
 *
 * @param {DataView} view @param {number} at @param {number} channels @param {number} sources @param {number} texels
 */
function readPlanes(view, at, channels, sources, texels) {
  const tops = new Float32Array(channels * sources);
  /** @type {Uint8Array[]} */
  const codes = [];
  for (let k = 0; k < channels * sources; k++, at += 4 + texels) {
    tops[k] = view.getFloat32(at, true);
    const plane = new Uint8Array(view.buffer, at + 4, texels);
    codes.push(k < sources ? plane : plane.map((difference, t) => difference + codes[k % sources][t]));
  }
  return { tops, codes };
}

/** @param {LightMap} map @param {number} texel */
export const isHidden = (map, texel) => ((map.hidden[texel >> 3] >> (texel & 7)) & 1) === 1;
