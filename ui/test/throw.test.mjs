// Light on the ground against photometry: inverse-square and cosine law, and
// the flux that an unshadowed plane takes from a point (2 pi of 4 pi sr).

import assert from 'node:assert/strict';
import test from 'node:test';
import { layGround, lightGround, lobe, onGround } from '../light/throw.js';

const bare = { index: 0, place: [0, 0, 1.5], axis: null, narrow: 0, beam: 0, lumens: 1, share: 1 };

test('straight under a bare lamp: E = I / h^2', () => {
  assert.ok(Math.abs(onGround(bare, 0, 0) - 1 / 1.5 ** 2) < 1e-12);
});

test('aside of it: E = I cos^3 / h^2', () => {
  for (const x of [0.3, 1.5, 6]) {
    const cos = Math.cos(Math.atan2(x, 1.5));
    assert.ok(Math.abs(onGround(bare, x, 0) - cos ** 3 / 1.5 ** 2) < 1e-12, `x ${x}`);
  }
});

test('an endless floor takes half the light of a bare lamp: the integral is 2 pi', () => {
  let sum = 0;
  const dr = 0.002;
  for (let r = dr / 2; r < 3000; r += r < 20 ? dr : r * dr) sum += onGround(bare, r, 0) * 2 * Math.PI * r * (r < 20 ? dr : r * dr);
  assert.ok(Math.abs(sum - 2 * Math.PI) < 0.01, `${sum}`);
});

test('a lobe of any width holds the same light: mean 1 over the sphere', () => {
  for (const n of [0, 2, 4, 24]) {
    let sum = 0;
    const steps = 20000;
    for (let i = 0; i < steps; i++) sum += lobe(-1 + (2 * (i + 0.5)) / steps, n);
    assert.ok(Math.abs(sum / steps - 1) < 1e-4, `n ${n}: ${sum / steps}`);
  }
});

function planWith(...lamps) {
  return { bounds: { min: [0, 0], max: [10, 5] }, lamps: lamps.map((l, i) => ({ class: 'tube', along: [1, 0, 0], length_m: 1, first_cell: i, aim: null, ...l, cells: [{ place: l.place, most_lumens: 100 }] })) };
}
const box = { x: 0, y: 0, w: 10, h: 5 };

test('light adds up: two lamps are the sum of each alone', () => {
  const ground = layGround(planWith({ place: [2, 2, 1] }, { place: [7, 3, 1] }), box, 40, 20);
  const only = (rgb) => {
    const out = new Float32Array(40 * 20 * 3);
    lightGround(ground, rgb, out);
    return out;
  };
  const a = only([10, 4, 1, 0, 0, 0]);
  const b = only([0, 0, 0, 2, 3, 50]);
  const both = only([10, 4, 1, 2, 3, 50]);
  both.forEach((v, i) => assert.ok(Math.abs(v - a[i] - b[i]) < 1e-4 * (1 + v), `point ${i}: ${v}, want ${a[i] + b[i]}`));
  assert.ok(both.some((v) => v > 0));
});

test('the brightest point is where the lamp is, y up the plan', () => {
  const ground = layGround(planWith({ place: [2.1, 4.1, 0.1] }), box, 40, 20);
  const out = new Float32Array(40 * 20 * 3);
  lightGround(ground, [1, 1, 1], out);
  const best = out.indexOf(Math.max(...out)) / 3;
  assert.equal(Math.floor(best) % 40, 8, 'column: 2.1 m of 0.25 m a point');
  assert.equal(Math.floor(best / 40), 3, 'row: 0.9 m from the top');
});

test('a spot lights where it looks and not behind it', () => {
  const spot = { place: [5, 2.5, 2], class: 'spot', aim: [8, 2.5, 0] };
  const ground = layGround(planWith(spot), box, 40, 20);
  const out = new Float32Array(40 * 20 * 3);
  lightGround(ground, [1, 1, 1], out);
  const at = (x, y) => out[(Math.floor((5 - y) / 0.25) * 40 + Math.floor(x / 0.25)) * 3];
  assert.ok(at(7.5, 2.5) > 20 * at(2.5, 2.5), `front ${at(7.5, 2.5)}, behind ${at(2.5, 2.5)}`);
});

test('a plan without lamps is dark and no fault', () => {
  const ground = layGround({ bounds: { min: [0, 0], max: [1, 1] }, lamps: null }, box, 10, 5);
  const out = new Float32Array(150).fill(7);
  lightGround(ground, [], out);
  assert.ok(out.every((v) => v === 0));
});
