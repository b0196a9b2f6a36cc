// The binary cells frame: what light every cell gives, as the daemon computes
// it from the bytes on the wire.

/** @import {CellsFrame} from '../types' */

const KIND_CELLS = 1;
const HEAD_BYTES = 16;
const CELL_BYTES = 12;

/**
 * Reads a cells frame, little-endian: u8 kind = 1, u8 0, u16 cell count, u32
 * plan revision, u64 frame number, then three float32 X, Y, Z for each cell
 * with Y in lumens. Null when the bytes are no whole cells frame. The values
 * are a view on `buffer`.
 *
 * @param {ArrayBuffer} buffer
 * @returns {CellsFrame | null}
 */
export function parseCellsFrame(buffer) {
  if (buffer.byteLength < HEAD_BYTES) return null;
  const view = new DataView(buffer);
  if (view.getUint8(0) !== KIND_CELLS) return null;
  const count = view.getUint16(2, true);
  if (buffer.byteLength !== HEAD_BYTES + count * CELL_BYTES) return null;
  return {
    count,
    revision: view.getUint32(4, true),
    frame: Number(view.getBigUint64(8, true)),
    xyz: readFloats(view, count * 3),
  };
}

const LITTLE_ENDIAN = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

/**
 * @param {DataView} view
 * @param {number} n
 */
function readFloats(view, n) {
  if (LITTLE_ENDIAN) return new Float32Array(view.buffer, HEAD_BYTES, n);
  const out = new Float32Array(n);
  for (let i = 0; i < n; i++) out[i] = view.getFloat32(HEAD_BYTES + i * 4, true);
  return out;
}
