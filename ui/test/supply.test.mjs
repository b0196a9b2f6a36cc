import assert from 'node:assert/strict';
import test from 'node:test';
import { createSupply } from '../camera/supply.js';
import { createStore, emptyState } from '../state.js';
import { FakeClock } from './fake/clock.mjs';
import { live, plan } from './fake/live.mjs';

/** A map of one texel and one source. */
const MAP = Uint8Array.from([
  ...[...'lbylight'].map((c) => c.charCodeAt(0)), 3, 0, 1, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0x80, 0x3f, 0, 200,
]);
const SEEN = Uint8Array.from([2, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x80, 0, 0x80, 0, 0x80]);

function setUp() {
  const clock = new FakeClock();
  const t = { clock, asked: [], revision: 1, hash: 'abc', broken: false, loaded: 0, store: createStore(emptyState()) };
  t.live = (more = {}) => live({ light: { stage: 'bounced', hash: t.hash }, revision: t.revision, ...more });
  t.supply = createSupply(t.store, {
    setTimer: clock.setTimer,
    load: () => {
      t.loaded++;
      if (t.unable) throw new Error(t.unable);
    },
    fetch: async (url) => {
      t.asked.push(url);
      if (t.broken) return new Response('', { status: 500 });
      if (url === '/api/scene') return Response.json({ revision: t.revision, surfaces: [{}], lamps: [{}], setups: [] });
      if (url === '/api/light') return new Response(MAP, { headers: { ETag: `"${t.hash}-gzip"` } });
      return new Response(SEEN);
    },
  });
  t.want = async (more) => {
    const now = t.live(more);
    t.store.update({ live: now });
    t.supply.want(now);
    for (let i = 0; i < 30; i++) await new Promise((done) => setImmediate(done));
  };
  return t;
}

test('nothing is fetched before there is light', async () => {
  const t = setUp();
  await t.want({ light: { stage: 'computing', hash: '' } });
  await t.want({ light: null });
  assert.deepEqual(t.asked, []);
});

test('fetches the scene, its light and what each look gives, once', async () => {
  const t = setUp();
  t.store.update({ plan: { ...plan(), looks: [{ name: 'low tide' }] } });
  await t.want();
  assert.deepEqual(t.asked, ['/api/scene', '/api/light', '/api/looks/low%20tide/seen']);
  assert.equal(t.store.get().lit.hash, 'abc');
  assert.equal(t.store.get().lit.map.codes[0][0], 200);
  assert.deepEqual([...t.store.get().seen['low tide']], [1, 1, 1]);
  await t.want();
  assert.equal(t.asked.length, 3);
});

test('light that has become better is fetched, and the looks stay', async () => {
  const t = setUp();
  t.store.update({ plan: { ...plan(), looks: [{ name: 'tide' }] } });
  await t.want();
  t.hash = 'def';
  await t.want();
  assert.deepEqual(t.asked.slice(3), ['/api/scene', '/api/light']);
  assert.equal(t.store.get().lit.hash, 'def');
});

test('an edit that leaves the light as it was fetches the scene alone', async () => {
  const t = setUp();
  await t.want();
  t.revision = 2;
  await t.want();
  assert.deepEqual(t.asked, ['/api/scene', '/api/light', '/api/scene']);
  assert.equal(t.store.get().lit.revision, 2);
  assert.equal(t.loaded, 2);
  t.hash = 'def';
  t.revision = 3;
  await t.want();
  assert.deepEqual(t.asked.slice(3), ['/api/scene', '/api/light']);
});

test('another location drops the light at hand at once', async () => {
  const t = setUp();
  await t.want();
  t.revision = 2;
  await t.want({ light: { stage: 'computing', hash: '' } });
  assert.equal(t.store.get().lit, null);
});

test('light of a place that was left meanwhile is not taken', async () => {
  const t = setUp();
  const before = t.live();
  t.store.update({ live: before });
  const coming = t.supply.want(before);
  t.store.update({ live: t.live({ revision: 2 }) });
  await coming;
  assert.equal(t.store.get().lit, null);
});

test('a failed fetch is tried again after a while', async () => {
  const t = setUp();
  t.broken = true;
  await t.want();
  await t.want();
  assert.equal(t.asked.length, 1);
  t.broken = false;
  await t.clock.pass(2000);
  await t.want();
  assert.notEqual(t.store.get().lit, null);
});

test('a device that cannot draw it says why and asks no more', async () => {
  const t = setUp();
  t.unable = 'this place has more light than this device can hold';
  await t.want();
  assert.equal(t.store.get().unable, t.unable);
  assert.equal(t.store.get().lit, null);
  await t.want();
  assert.equal(t.loaded, 1);
});
