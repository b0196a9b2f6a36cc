import assert from 'node:assert/strict';
import test from 'node:test';
import { Link, OPENING_MS, RETRY_FIRST_MS, RETRY_MOST_MS, SILENCE_MS, SLEPT_MS } from '../link.js';
import { FakeClock, turn } from './fake/clock.mjs';

class FakeSocket {
  sent = [];
  closed = false;
  send(data) {
    this.sent.push(JSON.parse(data));
  }
  close() {
    this.closed = true;
  }
  push(message) {
    this.onmessage?.({ data: JSON.stringify(message) });
  }
}

function setUp(status = 200) {
  const clock = new FakeClock();
  const t = { clock, sockets: [], links: [], states: [], plans: [], cells: [], status, probes: 0 };
  t.link = new Link(
    {
      url: 'ws://daemon/ws',
      open: (url) => {
        const s = new FakeSocket();
        s.url = url;
        t.sockets.push(s);
        return s;
      },
      probe: async () => (t.probes++, t.status),
      now: clock.now, setTimer: clock.setTimer, clearTimer: clock.clearTimer,
    },
    {
      onLink: (s) => t.links.push(s), onState: (s) => t.states.push(s),
      onPlan: (r) => t.plans.push(r), onCells: (f) => t.cells.push(f),
    },
  );
  t.link.start();
  return t;
}

function up(t) {
  const s = t.sockets.at(-1);
  s.onopen();
  s.push({ type: 'state', state: { look: 'warden' } });
  return s;
}

test('the first state makes the link', () => {
  const t = setUp();
  assert.equal(t.link.state.phase, 'opening');
  t.sockets[0].onopen();
  assert.equal(t.link.state.phase, 'opening', 'an open socket has said nothing yet');
  t.sockets[0].push({ type: 'state', state: { look: 'warden' } });
  assert.deepEqual(t.link.state, { phase: 'up', ms: null });
  assert.deepEqual(t.states, [{ look: 'warden' }]);
});

test('an answer comes back with its measured time', async () => {
  const t = setUp();
  const s = up(t);
  const first = t.link.send({ verb: 'cue', cue: 3 });
  const second = t.link.send({ verb: 'hold' });
  assert.deepEqual(s.sent, [{ id: 1, verb: 'cue', cue: 3 }, { id: 2, verb: 'hold' }]);
  await t.clock.pass(12);
  s.push({ type: 'answer', id: 2, error: { code: 'nothing-runs', message: 'm', mend: 'n' } });
  await t.clock.pass(8);
  s.push({ type: 'answer', id: 1, ok: true });
  assert.deepEqual(await first, { ok: true, ms: 20 });
  assert.deepEqual(await second, { ok: false, sent: true, refusal: { code: 'nothing-runs', message: 'm', mend: 'n' } });
  assert.deepEqual(t.link.state, { phase: 'up', ms: 20 });
});

test('an answer to nothing changes nothing', () => {
  const t = setUp();
  up(t).push({ type: 'answer', id: 99, ok: true });
  assert.deepEqual(t.link.state, { phase: 'up', ms: null });
});

test('heartbeats keep the link, silence of less than a second loses it', async () => {
  assert.ok(SILENCE_MS < 1000);
  const t = setUp();
  const s = up(t);
  for (let i = 0; i < 10; i++) {
    await t.clock.pass(400);
    s.push({ type: 'state', state: {} });
  }
  assert.equal(t.link.state.phase, 'up');
  await t.clock.pass(SILENCE_MS - 1);
  assert.equal(t.link.state.phase, 'up');
  await t.clock.pass(1);
  assert.equal(t.link.state.phase, 'lost');
  assert.ok(s.closed);
});

test('a page that itself stood still hears what came meanwhile before it gives up', async () => {
  const t = setUp();
  const s = up(t);
  await t.clock.stall(2 * SILENCE_MS);
  assert.equal(t.link.state.phase, 'up');
  s.push({ type: 'state', state: { look: 'tide' } });
  await t.clock.pass(SILENCE_MS - 1);
  assert.equal(t.link.state.phase, 'up');
  await t.clock.stall(2 * SILENCE_MS);
  await t.clock.pass(SILENCE_MS);
  assert.equal(t.link.state.phase, 'lost', 'nothing had come');
});

test('a page that slept starts anew at once', async () => {
  const t = setUp();
  const s = up(t);
  await t.clock.stall(SILENCE_MS + SLEPT_MS);
  assert.equal(t.link.state.phase, 'lost');
  assert.ok(s.closed);
});

test('a socket that never opens is given up', async () => {
  const t = setUp();
  await t.clock.pass(OPENING_MS);
  assert.equal(t.link.state.phase, 'lost');
});

test('without a link a verb is refused on the page and never sent later', async () => {
  const t = setUp();
  const before = await t.link.send({ verb: 'cue', cue: 1 });
  assert.equal(before.ok, false);
  assert.equal(before.sent, false);
  assert.match(before.refusal.message, /not sent/);
  assert.ok(before.refusal.mend);
  const s = up(t);
  s.onclose();
  const after = await t.link.send({ verb: 'kill' });
  assert.equal(after.sent, false);
  await t.clock.pass(RETRY_FIRST_MS);
  const again = up(t);
  await t.clock.pass(100);
  assert.deepEqual([...s.sent, ...again.sent], []);
});

test('a command whose answer never came is told as such and not sent again', async () => {
  const t = setUp();
  const s = up(t);
  const outcome = t.link.send({ verb: 'cue', cue: 1 });
  s.onclose();
  const got = await outcome;
  assert.equal(got.ok, false);
  assert.equal(got.sent, true);
  assert.equal(got.refusal.code, 'no-answer');
  await t.clock.pass(RETRY_FIRST_MS);
  assert.deepEqual(up(t).sent, []);
});

test('it comes back by itself with what is on now', async () => {
  const t = setUp();
  up(t).onclose();
  assert.equal(t.link.state.phase, 'lost');
  await t.clock.pass(RETRY_FIRST_MS);
  assert.equal(t.sockets.length, 2);
  t.sockets[1].onopen();
  t.sockets[1].push({ type: 'state', state: { look: 'tide' } });
  assert.equal(t.link.state.phase, 'up');
  assert.equal(t.states.at(-1).look, 'tide');
});

test('tries come quickly at first, then less often, and never stop', async () => {
  const t = setUp(0);
  up(t).onclose();
  const at = [];
  let seen = 0;
  while (t.clock.time < 30_000) {
    await t.clock.pass(10);
    if (t.probes > seen) at.push(t.clock.time);
    seen = t.probes;
  }
  const gaps = at.map((v, i) => v - (at[i - 1] ?? 0));
  assert.ok(gaps[0] <= 250, `first try after ${gaps[0]} ms`);
  gaps.forEach((g, i) => assert.ok(i === 0 || (g >= gaps[i - 1] - 10 && g <= RETRY_MOST_MS + 10), `gaps ${gaps}`));
  assert.ok(gaps.length > 10);
  t.status = 200;
  await t.clock.pass(RETRY_MOST_MS);
  up(t);
  assert.equal(t.link.state.phase, 'up');
  t.sockets.at(-1).onclose();
  const n = t.sockets.length;
  await t.clock.pass(RETRY_FIRST_MS);
  assert.equal(t.sockets.length, n + 1, 'a link that held starts over with quick tries');
});

test('a page that comes to the front does not wait', async () => {
  const t = setUp(0);
  up(t).onclose();
  await t.clock.pass(20_000);
  const n = t.sockets.length;
  t.link.hurry();
  assert.equal(t.sockets.length, n + 1);
  t.link.hurry();
  assert.equal(t.sockets.length, n + 1, 'one socket at a time');
});

test('a daemon that does not know this phone leads to pairing', async () => {
  const t = setUp(401);
  up(t).onclose();
  await t.clock.pass(RETRY_FIRST_MS);
  assert.equal(t.link.state.phase, 'pairing');
  const n = t.sockets.length;
  await t.clock.pass(10_000);
  assert.equal(t.sockets.length, n, 'it does not knock again by itself');
});

test('late words of an old socket are not heard', async () => {
  const t = setUp();
  const old = up(t);
  const speak = old.onmessage;
  old.onclose();
  await t.clock.pass(RETRY_FIRST_MS);
  speak({ data: JSON.stringify({ type: 'state', state: { look: 'stale' } }) });
  assert.ok(t.states.every((s) => s.look !== 'stale'));
  assert.equal(t.link.state.phase, 'lost');
});

test('plans and cells are passed on, garbage is not', () => {
  const t = setUp();
  const s = up(t);
  s.push({ type: 'plan', revision: 4 });
  s.onmessage({ data: new Uint8Array(16).fill(9).buffer });
  const frame = new Uint8Array(16);
  frame[0] = 1;
  s.onmessage({ data: frame.buffer });
  s.onmessage({ data: '{"type":' });
  assert.deepEqual(t.plans, [4]);
  assert.equal(t.cells.length, 1);
  assert.equal(t.link.state.phase, 'up');
});

test('an ended link stays ended', async () => {
  const t = setUp();
  up(t);
  const open = t.link.send({ verb: 'hold' });
  t.link.end();
  assert.equal((await open).ok, false);
  await t.clock.pass(60_000);
  await turn();
  assert.equal(t.sockets.length, 1);
  assert.equal(t.clock.waiting, 0);
});

/** Lets the link be out for so long, with a daemon that can be reached again after. */
async function outFor(t, ms) {
  const socket = t.sockets.at(-1);
  t.status = 0;
  const step = 50;
  for (let at = 0; at < ms; at += step) await t.clock.pass(Math.min(step, ms - at));
  t.status = 200;
  return socket;
}

test('half a second of silence is no loss: nothing is told and nothing refused', async () => {
  const t = setUp();
  const s = up(t);
  await outFor(t, 500);
  assert.deepEqual(t.links.map((l) => l.phase), ['up']);
  const outcome = t.link.send({ verb: 'hold' });
  s.push({ type: 'answer', id: 1, ok: true });
  assert.equal((await outcome).ok, true);
});

for (const seconds of [5, 60]) {
  test(`after ${seconds} s without a network the page heals by itself and replays nothing`, async () => {
    const t = setUp();
    up(t);
    await t.clock.pass(300);
    const asked = t.link.send({ verb: 'cue', cue: 2 }); // goes into the dead network
    const dead = await outFor(t, 1000);
    assert.equal(t.link.state.phase, 'lost', 'told within a second');
    assert.equal((await asked).ok, false);
    assert.equal((await t.link.send({ verb: 'cue', cue: 3 })).sent, false);
    await outFor(t, seconds * 1000 - 1000);
    const sockets = t.sockets.length;
    await t.clock.pass(RETRY_MOST_MS);
    assert.equal(t.sockets.length, sockets + 1, 'tried again as soon as the longest wait is over');
    const again = up(t);
    assert.equal(t.link.state.phase, 'up');
    await t.clock.pass(400);
    assert.deepEqual(again.sent, [], 'nothing that was asked before is asked again');
    assert.deepEqual(dead.sent.map((m) => m.cue), [2]);
  });
}

test('a page that was asleep finds its dead link at once when its clock runs again', async () => {
  const t = setUp(0);
  up(t);
  t.clock.time += 3_600_000; // timers stand still in a phone that sleeps
  await t.clock.pass(0);
  assert.equal(t.link.state.phase, 'lost');
  t.link.hurry();
  up(t);
  assert.equal(t.link.state.phase, 'up');
});

test('the clock of the phone means nothing to the link', async () => {
  const was = Date.now;
  try {
    const t = setUp();
    const s = up(t);
    Date.now = () => 0;
    await t.clock.pass(400);
    const outcome = t.link.send({ verb: 'hold' });
    Date.now = () => was() + 86_400_000;
    await t.clock.pass(12);
    s.push({ type: 'answer', id: 1, ok: true });
    assert.deepEqual(await outcome, { ok: true, ms: 12 });
    assert.equal(t.link.state.phase, 'up');
  } finally {
    Date.now = was;
  }
});
