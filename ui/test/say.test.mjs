import assert from 'node:assert/strict';
import test from 'node:test';
import { whatWasMissed } from '../say.js';

const live = (frames, look) => ({ look, output: { frames } });

test('a link that is back says how long it was out', () => {
  assert.match(whatWasMissed(live(100, 'tide'), live(320, 'tide'), 5000), /5 s; nothing was sent/);
  assert.match(whatWasMissed(null, live(320, 'tide'), 61_000), /1 min 1 s/);
});

test('a daemon that was started anew is told as such', () => {
  assert.match(whatWasMissed(live(4000, 'tide'), live(12, 'deep-end'), 5000), /started anew; deep end is on set/);
});
