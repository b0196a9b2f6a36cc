import assert from 'node:assert/strict';
import test from 'node:test';
import { parseCellsFrame } from '../light/frame.js';

/** Bytes as the wire lays them out. */
const bytes = Uint8Array.from([
  1, 0, // kind, spare
  2, 0, // two cells
  7, 1, 0, 0, // plan revision 263
  0x15, 0xcd, 0x5b, 0x07, 0, 0, 0, 0, // frame 123456789
  0, 0, 0x80, 0x3f, 0, 0, 0, 0x40, 0, 0, 0x40, 0x40, // 1, 2, 3 (IEEE 754 binary32)
  0, 0, 0x80, 0xbf, 0, 0, 0, 0, 0, 0x24, 0x74, 0x49, // -1, 0, 1000000
]);

test('reads a frame', () => {
  const frame = parseCellsFrame(bytes.buffer);
  assert.deepEqual({ ...frame, xyz: [...frame.xyz] }, { count: 2, revision: 263, frame: 123456789, xyz: [1, 2, 3, -1, 0, 1000000] });
});

test('refuses what is no whole frame', () => {
  for (const [why, bad] of [
    ['empty', bytes.slice(0, 0)],
    ['head cut short', bytes.slice(0, 15)],
    ['last cell cut short', bytes.slice(0, -1)],
    ['more than it says', Uint8Array.from([...bytes, 0])],
    ['another kind', Uint8Array.from([2, ...bytes.slice(1)])],
  ]) {
    assert.equal(parseCellsFrame(bad.buffer), null, why);
  }
});
