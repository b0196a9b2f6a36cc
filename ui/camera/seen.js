// The binary seen frame: what every cell gives the camera's three channels, as
// the daemon computes it from the bytes on the wire.

/** @import {SeenFrame} from '../types' */

const KIND_SEEN = 2;
const HEAD_BYTES = 16;
const CELL_BYTES = 6;
/** The code of 1 lm, and how many codes are a stop. */
const ONE = 32768;
const STEPS = 1024;

/** Lumens by code. */
const LUMENS = Float32Array.from({ length: 65536 }, (_, code) => (code ? 2 ** ((code - ONE) / STEPS) : 0));

/**
 * Reads a seen frame, little-endian: u8 kind = 2, u8 0, u16 cell count, u32
 * plan revision, u64 frame number, then red, green and blue of each cell as
 * u16: 0 is none, n is 2^((n - 32768)/1024) lumens of the balance white. Null
 * when the bytes are no whole seen frame.
 *
 * @param {ArrayBuffer} buffer
 * @returns {SeenFrame | null}
 */
export function parseSeenFrame(buffer) {
  if (buffer.byteLength < HEAD_BYTES) return null;
  const view = new DataView(buffer);
  if (view.getUint8(0) !== KIND_SEEN) return null;
  const count = view.getUint16(2, true);
  if (buffer.byteLength !== HEAD_BYTES + count * CELL_BYTES) return null;
  const rgb = new Float32Array(count * 3);
  for (let i = 0; i < rgb.length; i++) rgb[i] = LUMENS[view.getUint16(HEAD_BYTES + 2 * i, true)];
  return { count, revision: view.getUint32(4, true), frame: Number(view.getBigUint64(8, true)), rgb };
}
