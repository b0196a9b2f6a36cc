// The picture drawn by the page's own processor, against closed forms.

import assert from 'node:assert/strict';
import test from 'node:test';
import { PLAIN } from '../camera/style.js';
import { GREY } from '../camera/curve.js';
import { createHand } from '../camera/hand.js';
import { createSights, thinned } from '../camera/sight.js';

/** A wall of 4 m by 3 m, 5 m before a camera that sees 6 m by 4.5 m there; it is grey. */
const SCENE = {
  aspect: 4 / 3,
  surfaces: [{ shape: 'rectangle', at: [-2, 5, 0], u: [4, 0, 0], v: [0, 0, 3], finish: [GREY, GREY, GREY], twin: -1 }],
  lamps: [{ shape: 'rectangle', at: [2.5, 5, 0], u: [0.3, 0, 0], v: [0, 0, 3], area: 0.9, facing: [0, -1, 0], beam: 0, of: -1 }],
  beams: [{ peak: 1 / Math.PI, power: 1, shape: 1 }], // I = cos/π: as matt as paper
  setups: [{
    name: 'wide', camera: [0, 0, 1.5], look_at: [0, 5, 1.5], lens_mm: 30, sensor_mm: 36, key_lux: 100, over: 4, balance: 5600,
    gain: [1, 1, 1], matrix: [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
  }],
};
/** Twice the light on the right half of the wall. */
const MAP = {
  channels: 1, sources: 1, texels: 2, grids: [{ first: 0, nu: 2, nv: 1 }], hidden: Uint8Array.of(0),
  tops: Float32Array.of(2), codes: [Uint8Array.of(Math.round(255 * Math.cbrt(0.5)), 255)],
};

function drawn(how) {
  const hand = createHand(SCENE, MAP);
  const image = { width: 120, height: 90, data: new Uint8ClampedArray(4 * 120 * 90) };
  hand.draw(0, Float32Array.of(100, 100, 100), { ...PLAIN, ...how }, image);
  return { hand, image };
}

test('a grey card under the key is grey: 118 of 255, and 0 stops', () => {
  const { hand, image } = drawn({});
  // 100 lm at 1 lx a lumen is the key; the left quarter of the wall is below its texel's middle.
  assert.ok(Math.abs(hand.read(0.25, 0.5)) < 0.02, `${hand.read(0.25, 0.5)} stops`);
  assert.ok(Math.abs(image.data[4 * (45 * 120 + 30)] - 118) <= 1, 'sRGB of 18 % (IEC 61966-2-1)');
  assert.ok(Math.abs(hand.read(0.75, 0.5) - 1) < 0.02, 'twice the light is a stop');
  assert.ok(Math.abs(hand.read(0.5, 0.5) - Math.log2(1.5)) < 0.03, 'between the middles the light is between');
});

test('the picture ends where the lens says, and beyond it is night', () => {
  const { image } = drawn({});
  const lit = (x, y) => image.data[4 * (y * 120 + x)] > 0;
  // The wall is 4 of 6 m across and 3 of 4.5 m high: pixels 20 to 99 and 15 to 74.
  for (const [x, y, on] of [[19, 45, false], [20, 45, true], [99, 45, true], [101, 45, false], [60, 14, false], [60, 15, true], [60, 74, true], [60, 75, false]]) {
    assert.equal(lit(x, y), on, `pixel ${x}, ${y}`);
  }
});

test('a matt lamp is as bright from anywhere: E = π·L, L = lumens/(π·area)', () => {
  const { hand } = drawn({});
  // 100 lm on 0.9 m² are 111 lx as paper would throw back: 1.11 of what a white card would under the key.
  assert.ok(Math.abs(hand.read(113 / 120, 0.5) - Math.log2(100 / 0.9 / 100 / GREY)) < 0.01, `${hand.read(113 / 120, 0.5)}`);
});

test('haze takes by the law of Bouguer, Lambert and Beer, and gives what its blocks say', () => {
  const share = 0.4; // on 10 m
  const takes = (x, y) => (1 - share) ** (Math.hypot(5, 6 * (x - 0.5), 4.5 * (y - 0.5)) / 10);
  for (const [top, gives] of [[0, 0], [0.01, 0.01]]) {
    const hand = createHand(SCENE, MAP);
    // 100 lm throw as much towards each block of the left half, an eighth of it in the right one.
    const codes = [Uint8Array.of(255, 255, 255, 255, 128, 128, 128, 128)];
    const map = { channels: 1, sources: 1, texels: 8, grids: [{ first: 0, nu: 8, nv: 1 }], hidden: Uint8Array.of(0), tops: Float32Array.of(top), codes };
    const image = { width: 120, height: 90, data: new Uint8ClampedArray(4 * 120 * 90) };
    const rgb = Float32Array.of(100, 100, 100);
    const at = (x, y, haze) => {
      hand.draw(0, rgb, { ...PLAIN, haze }, image);
      return 2 ** hand.read(x, y) * GREY;
    };
    const [x, y] = [30.5 / 120, 45.5 / 90];
    const clear = at(x, y, share);
    hand.takeAir({ setup: 0, haze: share, map });
    assert.ok(Math.abs(at(x, y, share) - clear * takes(x, y) - gives) < 1e-4, 'a wall 5 m away');
    assert.ok(Math.abs(at(116.5 / 120, y, share) - (at(116.5 / 120, y, 0) * takes(116.5 / 120, y) + gives * (128 / 255) ** 3)) < 1e-3, 'a lamp');
    assert.ok(Math.abs(at(5 / 120, 3 / 90, share) - gives) < 1e-6, 'the night');
    assert.equal(at(x, y, 0.1), clear, 'air of another haze is not used');
    hand.draw(0, rgb, { ...PLAIN, haze: share }, { width: 40, height: 30, data: new Uint8ClampedArray(4 * 40 * 30) }, { thin: 3, of: { width: 120, height: 90 } });
    assert.ok(Math.abs(2 ** hand.read(x, y) * GREY - clear * takes(x, y) - gives) < 1e-3, 'thinned too');
  }
});

test('a thinned sight is every nth pixel of the whole one', () => {
  const whole = createSights(SCENE, MAP).of(SCENE.setups[0], 120, 90, 0);
  const third = thinned(whole, 3);
  assert.deepEqual([third.width, third.height], [40, 30]);
  for (const [x, y] of [[0, 0], [10, 12], [20, 15], [39, 29]]) {
    const [p, q] = [(3 * y + 1) * 120 + 3 * x + 1, y * 40 + x];
    assert.deepEqual([...third.plain.share.subarray(4 * q, 4 * q + 4)], [...whole.plain.share.subarray(4 * p, 4 * p + 4)]);
  }
});
