// What the camera's picture is made of: the encoded light, seen frames,
// triangles and the numbers of the curve.

import assert from 'node:assert/strict';
import test from 'node:test';
import { BEND, BEND_SCALE, GREY, curveOf } from '../camera/curve.js';
import { lensMatrix } from '../camera/lens.js';
import { isHidden, parseMap } from '../camera/map.js';
import { meshOf } from '../camera/mesh.js';
import { parseSeenFrame } from '../camera/seen.js';

/** An encoded map, laid out byte by byte as colour/transport writes it (encode.go). */
function encoded({ channels = 1, version = 3, cut = 0, kind = 1 } = {}) {
  const sources = 2;
  const grids = [[2, 2], [3, 1]];
  const texels = 7;
  const bytes = [...'lbylight'].map((c) => c.charCodeAt(0));
  const u16 = (v) => bytes.push(v & 255, v >> 8);
  const u32 = (v) => bytes.push(v & 255, (v >> 8) & 255, (v >> 16) & 255, v >>> 24);
  u16(version);
  u16(channels);
  u32(grids.length);
  u32(sources);
  u32(texels);
  grids.flat().forEach(u16);
  bytes.push(0b01000 | 0b00001); // texels 0 and 3 are hidden
  for (let k = 0; k < sources; k++) bytes.push(0, 0, 0x80, 0x3f); // 1.0 in IEEE 754 binary32
  // Green of the first source: 100, then 10 more to the right, 20 more below; below to the
  // right 11 more than the brighter neighbour; the next surface goes on from there.
  bytes.push(0, 100, 10, 20, 11, 0, 255, 1);
  // Of the second, from the first: 5 more throughout.
  bytes.push(kind, 5, 0, 0, 0, 0, 0, 0);
  // Red, then blue, of both: 4 codes less than green, 6 more.
  for (const off of [254, 3]) {
    if (channels === 3) bytes.push(0, off, 0, 0, 0, 0, 0, 0, kind, 0, 0, 0, 0, 0, 0, 0);
  }
  return Uint8Array.from(bytes.slice(0, bytes.length - cut)).buffer;
}

test('reads a light map', () => {
  const green = [100, 110, 120, 131, 131, 130, 131];
  for (const channels of [1, 3]) {
    const map = parseMap(encoded({ channels }));
    assert.deepEqual(map.grids, [{ first: 0, nu: 2, nv: 2 }, { first: 4, nu: 3, nv: 1 }]);
    assert.equal(map.sources, 2);
    assert.deepEqual([0, 1, 2, 3, 4].map((t) => isHidden(map, t)), [true, false, false, true, false]);
    assert.deepEqual([...map.tops], [1, 1]);
    const shift = (by) => [green.map((v) => v + by), green.map((v) => v + 5 + by)];
    assert.deepEqual(map.codes.map((c) => [...c]), channels === 1 ? shift(0) : [...shift(-4), ...shift(0), ...shift(6)]);
  }
});

test('refuses what is no light map', () => {
  for (const [what, buffer] of [
    ['empty', new ArrayBuffer(0)],
    ['another file', new Uint8Array(100).buffer],
    ['a later version', encoded({ version: 4 })],
    ['another kind of plane', encoded({ kind: 2 })],
    ['cut short', encoded({ cut: 1 })],
    ['two channels', encoded({ channels: 2 })],
  ]) {
    assert.throws(() => parseMap(buffer), /light map/, what);
  }
});

test('reads a seen frame', () => {
  const bytes = Uint8Array.from([
    2, 0, // kind, spare
    1, 0, // one cell
    7, 1, 0, 0, // plan revision 263
    9, 0, 0, 0, 0, 0, 0, 0, // frame 9
    0, 0, // no red
    0x00, 0x84, // 32768 + 1024: 2 lm
    0xff, 0x7f, // 32767: 2^(-1/1024) lm
  ]);
  const frame = parseSeenFrame(bytes.buffer);
  assert.deepEqual({ ...frame, rgb: null }, { count: 1, revision: 263, frame: 9, rgb: null });
  assert.deepEqual([...frame.rgb], [0, 2, Math.fround(2 ** (-1 / 1024))]);
  for (const bad of [bytes.slice(0, -1), bytes.slice(0, 3), Uint8Array.from([1, ...bytes.slice(1)])]) {
    assert.equal(parseSeenFrame(bad.buffer), null);
  }
});

const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const minus = (a, b) => a.map((v, i) => v - b[i]);
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Each triangle of a mesh: its corners and where they are on the surface. */
function* triangles({ corners, faces }) {
  const corner = (i) => [[...corners.slice(6 * i, 6 * i + 3)], [...corners.slice(6 * i + 3, 6 * i + 6)]];
  for (let i = 0; i < faces.length; i += 3) yield [corner(faces[i]), corner(faces[i + 1]), corner(faces[i + 2])];
}

/** Area, and least of how far a triangle faces what `outside` gives at its middle. */
function measure(mesh, outside) {
  let area = 0;
  let least = Infinity;
  for (const [[a], [b], [c]] of triangles(mesh)) {
    const n = cross(minus(b, a), minus(c, a));
    const size = Math.hypot(...n);
    if (size < 1e-12) continue;
    area += size / 2;
    const out = outside([0, 1, 2].map((i) => (a[i] + b[i] + c[i]) / 3));
    least = Math.min(least, dot(n, out) / size / Math.hypot(...out));
  }
  return { area, least };
}

test('triangles cover their surface, and face out of it', () => {
  const at = [1, 2, 3];
  const cases = [
    [{ shape: 'rectangle', at, u: [2, 0, 0], v: [0, 3, 0] }, 6, () => [0, 0, 1]],
    [{ shape: 'triangle', at, u: [2, 0, 0], v: [0, 3, 0] }, 3, () => [0, 0, 1]],
    [{ shape: 'disc', at, u: [2, 0, 0], v: [0, 2, 0] }, 4 * Math.PI, () => [0, 0, 1]],
    [{ shape: 'tube', at, u: [2, 0, 0], v: [0, 2, 0], w: [0, 0, 5] }, 20 * Math.PI, (p) => [p[0] - 1, p[1] - 2, 0]],
    [{ shape: 'ball', at, u: [2, 0, 0], v: [0, 2, 0], w: [0, 0, 2] }, 16 * Math.PI, (p) => minus(p, at)],
  ];
  for (const [shape, area, outside] of cases) {
    const got = measure(meshOf([shape]), outside);
    assert.ok(Math.abs(got.area / area - 1) < 0.01, `${shape.shape}: ${got.area} m², not ${area}`);
    assert.ok(got.least > 0.98, `${shape.shape} faces in: ${got.least}`);
  }
});

test('each corner knows its surface', () => {
  const box = { shape: 'rectangle', at: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0] };
  assert.deepEqual([...meshOf([box, box]).owners], [0, 0, 0, 0, 1, 1, 1, 1]);
});

/** Where a matrix puts a point: x, y from the middle, 1 at the edges. */
function seen(m, p) {
  const clip = [0, 1, 2, 3].map((r) => m[r] * p[0] + m[4 + r] * p[1] + m[8 + r] * p[2] + m[12 + r]);
  return clip.slice(0, 3).map((v) => v / clip[3]);
}

test('a lens sees by its angle: 2·atan(width/(2·focal length))', () => {
  const setup = { camera: [0, -10, 1], look_at: [0, 0, 1], lens_mm: 50, sensor_mm: 36 };
  const m = lensMatrix(setup, 1.5, 100);
  const edge = 10 * Math.tan((39.5977 / 2) * (Math.PI / 180)); // 39.6° for 50 mm on 36 mm: tables of lens makers
  for (const [p, x, y] of [[[0, 0, 1], 0, 0], [[edge, 0, 1], 1, 0], [[-edge, 0, 1], -1, 0], [[0, 0, 1 + edge / 1.5], 0, 1]]) {
    const got = seen(m, p);
    assert.ok(Math.abs(got[0] - x) < 1e-4 && Math.abs(got[1] - y) < 1e-4, `${p}: ${got}`);
  }
  const depth = (d) => seen(m, [0, d - 10, 1])[2];
  assert.ok(Math.abs(depth(0.05) + 1) < 1e-4 && Math.abs(depth(100) - 1) < 1e-4, 'near and far');
});

test('a camera that looks straight down has north at the top', () => {
  const m = lensMatrix({ camera: [0, 0, 5], look_at: [0, 0, 0], lens_mm: 35, sensor_mm: 25 }, 1, 10);
  assert.ok(seen(m, [0, 1, 0])[1] > 0 && seen(m, [1, 0, 0])[0] > 0);
});

test('the curve keeps grey and ends at the clip', () => {
  for (const over of [2.5, 4, 6, 8, 12]) {
    const { clip, scale, white } = curveOf(over);
    const shown = (v) => (scale * v * (1 + (scale * v) / white ** 2)) / (1 + scale * v);
    assert.ok(Math.abs(shown(GREY) - GREY) < 1e-9, `${over}: grey is ${shown(GREY)}`);
    assert.ok(Math.abs(shown(clip) - 1) < 1e-9, `${over}: the clip is ${shown(clip)}`);
  }
});

test('the bend brings its limit to the edge of what a screen shows', () => {
  const x = (BEND.limit - BEND.from) / BEND_SCALE;
  assert.ok(Math.abs(BEND.from + (BEND_SCALE * x) / (1 + x ** BEND.power) ** (1 / BEND.power) - 1) < 1e-9);
});
