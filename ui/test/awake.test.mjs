import assert from 'node:assert/strict';
import test from 'node:test';
import { canStayAwake, keepAwake } from '../awake.js';
import { mendedAt } from '../details/mend.js';

globalThis.navigator ??= /** @type {any} */ ({});

class Lock extends EventTarget {}

/** A browser that gives wake locks (W3C Screen Wake Lock), or refuses them. */
function setUp(gives) {
  const doc = new EventTarget();
  doc.visibilityState = 'visible';
  const t = { doc, asked: 0, locks: [], gives };
  navigator.wakeLock = {
    request: async () => {
      t.asked++;
      if (!t.gives) throw new Error('NotAllowedError');
      const lock = new Lock();
      t.locks.push(lock);
      return lock;
    },
  };
  return t;
}

const turn = () => new Promise((next) => setImmediate(next));

test('where no page may keep the screen on, nothing is tried', () => {
  assert.equal(canStayAwake(), false);
  keepAwake({ addEventListener: () => assert.fail('it listens') });
});

test('a lock is held once, and taken again when the browser let it go', async () => {
  const t = setUp(true);
  keepAwake(t.doc);
  await turn();
  t.doc.dispatchEvent(new Event('pointerdown'));
  await turn();
  assert.equal(t.asked, 1);
  t.doc.visibilityState = 'hidden';
  t.locks[0].dispatchEvent(new Event('release'));
  t.doc.dispatchEvent(new Event('visibilitychange'));
  await turn();
  assert.equal(t.asked, 1, 'a hidden page asks for nothing');
  t.doc.visibilityState = 'visible';
  t.doc.dispatchEvent(new Event('visibilitychange'));
  await turn();
  assert.equal(t.asked, 2);
});

test('what was refused is asked for again at the next touch', async () => {
  const t = setUp(false);
  keepAwake(t.doc);
  await turn();
  t.gives = true;
  t.doc.dispatchEvent(new Event('pointerdown'));
  await turn();
  assert.equal(t.locks.length, 1);
});

test('a warning leads to where it can be mended, if the page has such a place', () => {
  const all = ['set', 'paint', 'rig', 'takes'];
  assert.equal(mendedAt('node-lost', all), 'rig');
  assert.equal(mendedAt('node-lost', ['set', 'paint']), null);
  assert.equal(mendedAt('take-incomplete', all), 'takes');
  assert.equal(mendedAt('flashing', all), 'paint');
  assert.equal(mendedAt('light-failed', all), null);
});
