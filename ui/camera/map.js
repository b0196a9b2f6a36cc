// The light map as the daemon encodes it: for every source and channel a byte
// for every texel. See colour/transport, encode.go and predict.go.

/** @import {LightMap} from '../types' */

const MAGIC = 'lbylight';
const VERSION = 3;
const HEAD_BYTES = 24;

/**
 * Reads a light map. Throws what is wrong with one that is none.
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
  const topsAt = hiddenAt + Math.ceil(texels / 8);
  const planesAt = topsAt + 4 * sources;
  if ((channels !== 1 && channels !== 3) || bytes.length !== planesAt + channels * sources * (1 + texels)) {
    throw new Error(`this light map has ${bytes.length} bytes, not what its head says`);
  }
  const grids = readGrids(view, surfaces, texels);
  return {
    channels, sources, texels, grids,
    hidden: bytes.slice(hiddenAt, topsAt),
    tops: Float32Array.from({ length: sources }, (_, k) => view.getFloat32(topsAt + 4 * k, true)),
    codes: readPlanes(bytes.subarray(planesAt), grids, channels, sources, texels),
  };
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

/** How planes are foretold: from the texels beside, and from the source before too. */
const ALONGSIDE = 1;

/**
 * The codes of red, then green and blue; those of red and blue come as half of what they
 * differ from green's, which comes first.
 *
 * @param {Uint8Array} bytes @param {LightMap['grids']} grids @param {number} channels @param {number} sources @param {number} texels
 */
function readPlanes(bytes, grids, channels, sources, texels) {
  const rows = rowsOf(grids);
  const none = new Int16Array(texels);
  const off = new Int16Array(texels);
  let [now, before] = [new Int16Array(texels), new Int16Array(texels)];
  /** @type {Uint8Array[]} */
  const codes = new Array(channels * sources);
  for (let plane = 0; plane < channels * sources; plane++) {
    const from = plane * (1 + texels);
    const k = plane % sources;
    const tint = plane >= sources;
    const kind = bytes[from];
    if (kind > ALONGSIDE || (kind && !k)) throw new Error(`this light map has a plane of kind ${kind}`);
    readPlane(bytes.subarray(from + 1, from + 1 + texels), rows, kind ? before : none, off, now, tint ? 24 : 0);
    if (!tint) codes[(channels === 1 ? 0 : sources) + k] = Uint8Array.from(now);
    else codes[(plane < 2 * sources ? 0 : 2 * sources) + k] = tinted(codes[sources + k], now);
    [now, before] = [before, now];
  }
  return codes;
}

/** @param {Uint8Array} green @param {Int16Array} off half of what they differ */
function tinted(green, off) {
  const out = new Uint8Array(green.length);
  for (let t = 0; t < out.length; t++) out[t] = Math.min(Math.max(green[t] + 2 * off[t], 0), 255);
  return out;
}

/** First texel, length, and whether there is a row above, of each row of the grids. @param {LightMap['grids']} grids */
function rowsOf(grids) {
  const rows = [];
  for (const { first, nu, nv } of grids) {
    for (let j = 0; j < nv; j++) rows.push(first + j * nu, nu, j);
  }
  return Int32Array.from(rows);
}

/**
 * Reads the numbers of a plane, which are written as what they differ from what their
 * neighbours foretell.
 *
 * @param {Uint8Array} bytes
 * @param {Int32Array} rows
 * @param {Int16Array} base numbers that only the difference from is foretold of
 * @param {Int16Array} off room for those differences
 * @param {Int16Array} out
 * @param {number} sign 24 for numbers of -128..127, 0 for 0..255
 */
function readPlane(bytes, rows, base, off, out, sign) {
  for (let r = 0; r < rows.length; r += 3) {
    const first = rows[r];
    const nu = rows[r + 1];
    let left = rows[r + 2] ? off[first - nu] : first ? off[first - 1] : 0;
    let corner = left;
    for (let t = first; t < first + nu; t++) {
      let guess = left;
      if (rows[r + 2]) {
        const above = off[t - nu];
        if (t > first) guess = corner >= Math.max(left, above) ? Math.min(left, above) : corner <= Math.min(left, above) ? Math.max(left, above) : left + above - corner;
        corner = above;
      }
      const v = ((guess + base[t] + bytes[t]) & 255) << sign >> sign;
      out[t] = v;
      left = off[t] = v - base[t];
    }
  }
}

/** @param {LightMap} map @param {number} texel */
export const isHidden = (map, texel) => ((map.hidden[texel >> 3] >> (texel & 7)) & 1) === 1;
