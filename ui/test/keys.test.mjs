import assert from 'node:assert/strict';
import test from 'node:test';
import { createHold, HOLD_MS } from '../foot/hold.js';
import { keyDown, keyUp } from '../keys.js';
import { createStore } from '../state.js';
import { FakeClock } from './fake/clock.mjs';
import { page } from './fake/live.mjs';

function setUp() {
  const log = [];
  const say = (what) => (arg) => log.push(arg === undefined ? what : `${what} ${arg}`);
  const verbs = {
    tap: say('tap'), back: say('back'), hold: say('hold'), snap: say('snap'), worklight: say('worklight'), take: say('take'), countIn: say('count in'),
    step: say('step'), trim: say('trim'), overall: (v) => log.push(`overall ${v.toFixed(2)}`), riding: { nudge: say('ride') },
  };
  const kill = { press: say('kill down'), release: say('kill up') };
  const store = createStore(page());
  const down = (key, more = {}) => keyDown({ key, shiftKey: false, repeat: false, ctrlKey: false, altKey: false, metaKey: false, ...more }, store, verbs, kill);
  return { log, down, up: (key) => keyUp({ key }, kill), store };
}

test('every action has a key, a clicker has two', () => {
  for (const [key, want, more] of [
    [' ', 'tap'], ['PageDown', 'tap'], ['b', 'back'], ['B', 'back'], ['PageUp', 'back'], ['h', 'hold'], ['s', 'snap'], ['w', 'worklight'], ['r', 'take'], ['c', 'count in'],
    ['k', 'kill down'], ['ArrowLeft', 'step -1'], ['ArrowRight', 'step 1'], ['ArrowUp', 'step -1'], ['ArrowDown', 'step 1'],
    ['[', 'trim -1'], [']', 'trim 1'], ['-', 'overall 0.95'], ['+', 'overall 1.05'],
    ['ArrowUp', 'ride 0.02', { shiftKey: true }], ['ArrowDown', 'ride -0.02', { shiftKey: true }],
  ]) {
    const t = setUp();
    assert.equal(t.down(key, more), true, key);
    assert.deepEqual(t.log, [want], key);
  }
});

test('a key that is held runs its action once', () => {
  const t = setUp();
  t.down(' ');
  assert.equal(t.down(' ', { repeat: true }), true, 'the browser must not scroll for it either');
  assert.deepEqual(t.log, ['tap']);
});

test('what the browser and other keys mean stays theirs', () => {
  const t = setUp();
  assert.equal(t.down('q'), false);
  assert.equal(t.down('Tab'), false);
  assert.equal(t.down('s', { ctrlKey: true }), false);
  assert.equal(t.down('b', { metaKey: true }), false);
  assert.deepEqual(t.log, []);
});

test('panels open and close', () => {
  const t = setUp();
  t.down('?');
  assert.equal(t.store.get().panel, 'keys');
  t.down('?');
  assert.equal(t.store.get().panel, null);
  t.down('i');
  assert.equal(t.store.get().panel, 'details');
});

test('kill is held by its key', () => {
  const t = setUp();
  t.down('k');
  t.down('k', { repeat: true });
  t.up('K');
  t.up('x');
  assert.deepEqual(t.log, ['kill down', 'kill up']);
});

test('press and hold: 0.8 s and no less, once', async () => {
  assert.equal(HOLD_MS, 800);
  const clock = new FakeClock();
  const log = [];
  const hold = createHold({ begin: () => log.push('begin'), stop: () => log.push('stop'), done: () => log.push('done') }, clock);
  hold.press();
  await clock.pass(799);
  hold.release();
  hold.release();
  await clock.pass(1000);
  assert.deepEqual(log, ['begin', 'stop']);
  hold.press();
  hold.press();
  await clock.pass(800);
  hold.release();
  assert.deepEqual(log, ['begin', 'stop', 'begin', 'done']);
});
