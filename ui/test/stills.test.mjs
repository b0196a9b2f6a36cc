import assert from 'node:assert/strict';
import test from 'node:test';
import { createStills } from '../strip/stills.js';
import { createStore, emptyState } from '../state.js';
import { FakeClock } from './fake/clock.mjs';
import { live, plan } from './fake/live.mjs';

function setUp() {
  const clock = new FakeClock();
  const t = { clock, asked: [], status: {}, store: createStore(emptyState()) };
  t.stills = createStills(t.store, {
    setTimer: clock.setTimer,
    decode: async (blob) => blob.text(),
    fetch: async (url) => {
      t.asked.push(url);
      const look = decodeURIComponent(url.match(/looks\/([^/]+)\//)[1]);
      return new Response(`${look} ${t.store.get().live.revision}`, { status: t.status[look] ?? 200 });
    },
  });
  t.want = async (more = {}) => {
    const now = live({ light: { stage: 'bounced', hash: 'abc' }, setup: 'wide', revision: 1, ...more });
    t.store.update({ live: now, plan: { ...plan(), revision: now.revision, looks: [{ name: 'warden' }, { name: 'deep tide' }] } });
    t.stills.want(now);
    for (let i = 0; i < 30; i++) await new Promise((done) => setImmediate(done));
  };
  return t;
}

test('each look is asked for once its light is whole, and once only', async () => {
  const t = setUp();
  await t.want({ light: { stage: 'direct', hash: 'abc-direct' } });
  assert.deepEqual(t.asked, []);
  await t.want();
  await t.want();
  assert.deepEqual(t.asked, ['/api/looks/warden/still?setup=wide', '/api/looks/deep%20tide/still?setup=wide']);
  assert.deepEqual(t.store.get().stills, { warden: 'warden 1', 'deep tide': 'deep tide 1' });
});

test('after a change of the show or of the set-up those before stay until the new ones have come', async () => {
  const t = setUp();
  await t.want();
  t.status.warden = 500;
  await t.want({ revision: 2 });
  assert.equal(t.store.get().stills.warden, 'warden 1');
  await t.want({ revision: 2 });
  assert.equal(t.asked.length, 3, 'not at once again');
  t.status = {};
  await t.clock.pass(2000);
  await t.want({ revision: 2 });
  assert.equal(t.store.get().stills.warden, 'warden 2');
  await t.want({ revision: 2, setup: 'reverse' });
  assert.match(t.asked.at(-1), /setup=reverse$/);
});

test('another location shows none of the last one, and a look that cannot be shown has none', async () => {
  const t = setUp();
  await t.want();
  t.status.warden = 409;
  await t.want({ location: 'pump-room', light: { stage: 'computing', hash: '' } });
  assert.deepEqual(t.store.get().stills, {});
  await t.want({ location: 'pump-room' });
  assert.deepEqual(Object.keys(t.store.get().stills), ['deep tide']);
});

test('what comes for a show that has changed meanwhile is let go', async () => {
  const t = setUp();
  const first = t.want();
  t.store.update({ live: { ...t.store.get().live, revision: 7 } });
  await first;
  assert.deepEqual(t.store.get().stills, {});
});
