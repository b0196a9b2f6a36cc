import assert from 'node:assert/strict';
import test from 'node:test';
import { createPace } from '../camera/pace.js';

const LEVELS = [{ share: 1, looks: 4 }, { share: 1, looks: 0 }, { share: 0.7, looks: 0 }, { share: 0.5, looks: 0 }, { share: 0.25, looks: 0 }];

/** Draws so many frames, each so long after the one before. */
function run(pace, from, frames, gap) {
  for (let i = 0; i < frames; i++) pace.drawn((from += gap));
  return from;
}

test('a picture that flows stays at its best', () => {
  const pace = createPace(LEVELS);
  run(pace, 0, 300, 30);
  assert.equal(pace.moving, pace.best);
});

test('a slow device draws more simply while it moves, step by step, and no less than the least', () => {
  const pace = createPace(LEVELS);
  let now = run(pace, 0, 6, 90);
  assert.equal(pace.moving.share, 1, 'hard edges come first');
  assert.equal(pace.moving.looks, 0);
  now = run(pace, now, 8, 90);
  assert.ok(pace.moving.share < 1);
  run(pace, now, 500, 90);
  assert.ok(pace.moving.share >= 0.25);
});

test('what has become fast is drawn better again, after a while', () => {
  const pace = createPace(LEVELS);
  const now = run(pace, 0, 21, 90); // the first, and five times four
  const slow = pace.moving;
  run(pace, now, 30, 30);
  assert.equal(pace.moving, slow, 'not at once: it would swing');
  run(pace, now + 900, 1000, 30);
  assert.equal(pace.moving, pace.best);
});

test('what is too much is tried less and less often', () => {
  const pace = createPace(LEVELS);
  const best = pace.best;
  let now = 0;
  let tried = 0;
  let before = false;
  /** At its best the device is too slow, and never otherwise. @type {number[]} */
  const at = [];
  for (let i = 0; i < 4000; i++) {
    const is = pace.moving === best;
    pace.drawn((now += is ? 50 : 31));
    if (is && !before) at.push(i);
    before = is;
    tried += Number(is);
  }
  const gaps = at.slice(1).map((v, i) => v - at[i]);
  assert.ok(gaps.every((g, i) => i === 0 || g >= gaps[i - 1]), `${gaps}`);
  assert.ok(gaps.at(-1) > 8 * gaps[0], `${gaps}`);
  assert.ok(tried < 60, `${tried} of 4000 frames are late`);
});

test('the pause between two fades is no slow frame', () => {
  const pace = createPace(LEVELS);
  let now = 0;
  for (let i = 0; i < 50; i++) now = run(pace, now + 1000, 3, 30);
  assert.equal(pace.moving, pace.best);
});
