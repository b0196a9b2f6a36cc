import assert from 'node:assert/strict';
import test from 'node:test';
import { createLoader } from '../loader.js';
import { createStore, emptyState } from '../state.js';
import { FakeClock } from './fake/clock.mjs';

function setUp() {
  const clock = new FakeClock();
  const t = { clock, asked: [], revision: 1, broken: false, store: createStore(emptyState()) };
  const frame = new Uint8Array(28);
  frame[0] = 1;
  frame[2] = 1;
  t.loader = createLoader(t.store, {
    setTimer: clock.setTimer,
    fetch: async (url) => {
      t.asked.push(url);
      if (t.broken) return new Response('', { status: 500 });
      if (url === '/api/plan') return Response.json({ revision: t.revision, looks: [{ name: 'war den' }, { name: 'tide' }] });
      return new Response(frame);
    },
  });
  t.settle = async () => {
    for (let i = 0; i < 30; i++) await new Promise((done) => setImmediate(done));
  };
  return t;
}

test('fetches the plan and the light of each look', async () => {
  const t = setUp();
  t.loader.want(1);
  await t.settle();
  assert.deepEqual(t.asked, ['/api/plan', '/api/looks/war%20den/cells', '/api/looks/tide/cells']);
  assert.deepEqual(Object.keys(t.store.get().looks), ['war den', 'tide']);
  assert.equal(t.store.get().looks.tide.length, 3);
});

test('a plan at hand is not fetched again until it is an old one', async () => {
  const t = setUp();
  t.loader.want(1);
  t.loader.want(1);
  await t.settle();
  const n = t.asked.length;
  t.loader.want(1);
  await t.settle();
  assert.equal(t.asked.length, n);
  t.revision = 2;
  t.loader.want(2);
  await t.settle();
  assert.equal(t.store.get().plan.revision, 2);
});

test('a failed fetch is tried again', async () => {
  const t = setUp();
  t.broken = true;
  t.loader.want(1);
  await t.settle();
  assert.equal(t.store.get().plan, null);
  t.loader.want(1);
  await t.settle();
  assert.equal(t.asked.length, 1, 'states that come meanwhile do not hurry it');
  t.broken = false;
  await t.clock.pass(1000);
  await t.settle();
  assert.equal(t.store.get().plan.revision, 1);
});
