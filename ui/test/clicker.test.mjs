import assert from 'node:assert/strict';
import test from 'node:test';
import { canLearn, createClickerStore, keyName, learntAction, withKey } from '../clicker.js';
import { keyDown } from '../keys.js';
import { createStore } from '../state.js';
import { page } from './fake/live.mjs';

test('a key is known by its name, or by its place', () => {
  assert.equal(keyName({ key: 'R' }), 'r');
  assert.equal(keyName({ key: 'PageDown' }), 'PageDown');
  assert.equal(keyName({ key: 'Unidentified', code: 'F13' }), 'F13');
  assert.equal(keyName({ key: 'Unidentified' }), '');
});

test('what closes and moves about cannot be taught', () => {
  for (const key of ['Escape', 'Tab', 'Shift', 'Unidentified']) assert.equal(canLearn({ key }), false, key);
  assert.equal(canLearn({ key: 'c', ctrlKey: true }), false);
  assert.equal(canLearn({ key: 'F5' }), true);
});

test('a key does one thing, an action has one key', () => {
  const keys = withKey(withKey({}, 'run', 'F5'), 'take', 'F5');
  assert.deepEqual(keys, { take: 'F5' });
  assert.deepEqual(withKey(keys, 'take', '.'), { take: '.' });
  assert.deepEqual(withKey(keys, 'take', ''), {});
  assert.equal(learntAction(keys, { key: 'F5' }), 'take');
  assert.equal(learntAction({}, { key: 'Unidentified' }), undefined);
});

test('a learnt key comes before what it meant, and runs once', () => {
  const log = [];
  const verbs = Object.fromEntries(['tap', 'back', 'take', 'worklight'].map((name) => [name, () => log.push(name)]));
  const store = createStore(page({ clicker: { take: 'w' } }));
  const down = (repeat) => keyDown({ key: 'W', shiftKey: true, repeat, ctrlKey: false, altKey: false, metaKey: false }, store, verbs, {});
  assert.equal(down(false), true);
  assert.equal(down(true), true);
  assert.deepEqual(log, ['take']);
});

test('keys are kept on the device, and broken ones are none', () => {
  const kept = new Map();
  const storage = () => ({ getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, v) });
  createClickerStore(storage).save({ run: 'F5' });
  assert.deepEqual(createClickerStore(storage).load(), { run: 'F5' });
  for (const bad of ['', '{', 'null', '[]', '{"run": 5, "back": ""}', '{"other": "x"}']) {
    kept.set('clicker', bad);
    assert.deepEqual(createClickerStore(storage).load(), {}, bad);
  }
  const off = createClickerStore(() => { throw new Error('storage is off'); });
  assert.deepEqual(off.load(), {});
  off.save({ run: 'x' });
});
