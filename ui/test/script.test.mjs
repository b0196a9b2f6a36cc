// The colour script's words and bars.
import assert from 'node:assert/strict';
import { test } from 'node:test';

import { displayMatrix } from '../light/display.js';
import { bars, cctText, places } from '../script/rows.js';

const D65 = displayMatrix([0.3127, 0.329]);
// u'v' of x, y by CIE 15: u' = 4x / (-2x + 12y + 3), v' = 9y / (-2x + 12y + 3).
const uv = (x, y) => [(4 * x) / (-2 * x + 12 * y + 3), (9 * y) / (-2 * x + 12 * y + 3)];
const colour = (x, y) => ({ name: 'c', xy: [x, y], uv: uv(x, y) });

test('rows stay in the order of their places', () => {
  const rows = ['a', 'a', 'b'].map((location, i) => ({ location, look: String(i) }));
  assert.deepEqual(places(rows).map((p) => [p.name, p.rows.map((r) => r.look)]), [['a', ['0', '1']], ['b', ['2']]]);
  assert.deepEqual(places([]), []);
});

test('a key is told by its white, a tint where it is seen', () => {
  assert.equal(cctText({ level: '30%', share: 0.3, cct: 3203, duv: 0.001 }), '3200 K');
  assert.equal(cctText({ level: '30%', share: 0.3, cct: 4296, duv: 0.008 }), '4300 K, greenish');
  assert.equal(cctText({ level: '30%', share: 0.3, cct: 4296, duv: -0.008 }), '4300 K, pinkish');
  assert.equal(cctText({ level: '30%', share: 0.3, cct: null, duv: null }), 'coloured');
});

test('the white of the screen is neutral, and bars are dim', () => {
  const [bar] = bars(D65, { name: 'key', level: '30%', pattern: 'solid', colours: [colour(0.3127, 0.329)] });
  const [r, g, b] = bar.dim.match(/\d+/g).map(Number);
  assert.ok(Math.max(r, g, b) - Math.min(r, g, b) <= 1, bar.dim);
  assert.ok(r < 128, 'no bar dazzles at night');
  assert.ok(Number(bar.ink.match(/\d+/)[0]) > r, 'paper takes more');
});

test('patterns lie along their bar as they do along the group', () => {
  const two = [colour(0.64, 0.33), colour(0.15, 0.06)];
  const of = (pattern, colours) => bars(D65, { name: 'g', level: '1%', pattern, colours }).map((c) => c.ink);
  const [red, blue] = of('halves', two);
  assert.deepEqual(of('alternate', two), [red, blue, red, blue]);
  const gradient = of('gradient', two);
  assert.equal(gradient[0], red);
  assert.equal(gradient.at(-1), blue);
  assert.ok(new Set(gradient).size > 4);
  const mirror = of('mirror', two);
  assert.deepEqual(mirror, [...mirror].reverse());
  assert.deepEqual([mirror[0], mirror[(mirror.length - 1) / 2]], [red, blue], 'the last colour is in the middle');
});
