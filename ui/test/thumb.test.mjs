import assert from 'node:assert/strict';
import test from 'node:test';
import { createThumb, LEAST_TRAVEL_PX, SLOP_PX } from '../pad/thumb.js';

const TOP = 500;
const BOTTOM = 740;

function setUp(from = 0) {
  const log = [];
  const thumb = createThumb({
    tap: () => log.push('tap'),
    begin: () => (log.push('begin'), from),
    move: (p) => log.push(p),
    end: (p) => log.push(['end', p]),
  });
  return { log, thumb };
}

test('down and up is a tap, also with a tremor', () => {
  const { log, thumb } = setUp();
  thumb.press(700, TOP, BOTTOM);
  thumb.move(700 - SLOP_PX + 1);
  thumb.move(700 + SLOP_PX - 1);
  thumb.lift();
  assert.deepEqual(log, ['tap']);
});

test('a slide up is a ride from 0 to the top of the pad, without a jump', () => {
  const { log, thumb } = setUp();
  thumb.press(720, TOP, BOTTOM);
  for (let y = 719; y >= TOP; y--) thumb.move(y);
  thumb.lift();
  assert.equal(log[0], 'begin');
  const way = log.slice(1, -1);
  assert.equal(way[0], 0);
  way.forEach((p, i) => assert.ok(i === 0 || (p >= way[i - 1] && p - way[i - 1] < 0.01), `jump at ${i}: ${way[i - 1]} to ${p}`));
  assert.equal(way.at(-1), 1);
  assert.deepEqual(log.at(-1), ['end', 1]);
});

test('height tells progress: half way up is half', () => {
  const { log, thumb } = setUp();
  thumb.press(732, TOP, BOTTOM);
  thumb.move((732 - SLOP_PX + TOP) / 2);
  assert.ok(Math.abs(log.at(-1) - 0.5) < 1e-9, `${log.at(-1)}`);
});

test('a ride over a fade begins where the fade is and reaches both ends', () => {
  const { log, thumb } = setUp(0.4);
  thumb.press(650, TOP, BOTTOM);
  thumb.move(650 - SLOP_PX);
  assert.ok(Math.abs(log.at(-1) - 0.4) < 1e-9);
  thumb.move(TOP);
  assert.equal(log.at(-1), 1);
  thumb.move(BOTTOM);
  assert.equal(log.at(-1), 0);
  thumb.move(BOTTOM + 300);
  assert.equal(log.at(-1), 0);
});

test('pressed near the top there is still a way to go', () => {
  const { log, thumb } = setUp();
  thumb.press(TOP + 5, TOP, BOTTOM);
  thumb.move(TOP + 5 - SLOP_PX - LEAST_TRAVEL_PX / 4);
  assert.ok(log.at(-1) > 0 && log.at(-1) < 0.35, `${log.at(-1)}`);
});

test('a thumb that the browser takes away taps nothing and leaves a ride where it was', () => {
  const a = setUp();
  a.thumb.press(700, TOP, BOTTOM);
  a.thumb.cancel();
  a.thumb.lift();
  assert.deepEqual(a.log, []);
  const b = setUp();
  b.thumb.press(720, TOP, BOTTOM);
  b.thumb.move(600);
  const at = b.log.at(-1);
  b.thumb.cancel();
  assert.deepEqual(b.log.at(-1), ['end', at]);
});

test('moves without a press are nothing', () => {
  const { log, thumb } = setUp();
  thumb.move(600);
  thumb.lift();
  assert.deepEqual(log, []);
});
