import assert from 'node:assert/strict';
import test from 'node:test';
import { createBlind } from '../light/blind.js';
import { createFeed } from '../light/feed.js';
import { inShot, onPlan, onWalk } from '../rehearse/figures.js';
import { endOf, lay, moment } from '../rehearse/lay.js';
import { createMetronome } from '../rehearse/metronome.js';
import { createPlayer } from '../rehearse/player.js';
import { createRehearsal } from '../rehearse/rehearsal.js';
import { createScrub } from '../rehearse/scrub.js';
import { createStore } from '../state.js';
import { createVerbs } from '../verbs.js';
import { FakeClock } from './fake/clock.mjs';
import { live, page } from './fake/live.mjs';

const line = (cue, waits, start_ms, end_ms, more = {}) => ({ cue, look: `look-${cue}`, from: '', waits, start_ms, delay_ms: 0, end_ms, ...more });
const sheet = () => ({
  location: 'deep-end', capture_fps: 24, timeline_fps: 24,
  cues: [line(1, 'start', 0, 0), line(2, 'person', 2000, 5000), line(3, 'follow', 6000, 8000), line(4, 'person', 10_000, 10_000)],
});

const time = () => new FakeClock();

test('the line tells which cue is on and how far it is', () => {
  const cues = lay(sheet());
  assert.equal(endOf(cues), 10_000);
  assert.deepEqual(moment(cues, 0), { cue: 1, look: 'look-1', at: 1 });
  assert.deepEqual(moment(cues, 3500), { cue: 2, look: 'look-2', at: 0.5 });
  assert.deepEqual(moment(cues, 5900), { cue: 2, look: 'look-2', at: 1 });
  assert.deepEqual(moment(cues, 10_000), { cue: 4, look: 'look-4', at: 1 }, 'a snap is there at once');
  assert.equal(moment([], 5), null);
});

test('a mark moves its cue and what follows it, and no other mark', () => {
  const cues = lay(sheet(), { 2: 7000, 4: 20_000 });
  assert.deepEqual(cues.map((c) => [c.start, c.end, c.marked]), [[0, 0, false], [7000, 10_000, true], [11_000, 13_000, false], [20_000, 20_000, true]]);
});

test('the metronome ticks on every beat until the cue, and not after', async () => {
  const t = time();
  const ticks = [];
  let ended = 0;
  const m = createMetronome({ ...t, tick: (left, of) => ticks.push([t.now(), left, of]), end: () => ended++ });
  const count = (remaining_ms) => ({ cue: 2, look: '', remaining_ms, total_ms: 2000, beat_ms: 500, beats: true });
  m.follow(count(2000));
  await t.pass(700);
  m.follow(count(1350)); // a state that was 50 ms on its way counts for nothing
  await t.pass(1600);
  assert.deepEqual(ticks, [[0, 4, 4], [500, 3, 4], [1000, 2, 4], [1500, 1, 4]]);
  assert.equal(ended, 0);
  m.follow(null);
  assert.equal(ended, 1);
  m.follow(null);
  assert.equal(ended, 1);
});

test('a state that came faster than the first sets the metronome right', async () => {
  const t = time();
  const ticks = [];
  const m = createMetronome({ ...t, tick: () => ticks.push(t.now()), end: () => {} });
  m.follow({ cue: 2, look: '', remaining_ms: 2000, total_ms: 2000, beat_ms: 500, beats: true });
  await t.pass(100);
  m.follow({ cue: 2, look: '', remaining_ms: 1870, total_ms: 2000, beat_ms: 500, beats: true });
  await t.pass(2000);
  assert.deepEqual(ticks, [0, 470, 970, 1470]);
});

const player = (t, sent, more = {}) => createPlayer({
  ...t, lead: () => 10, moved: () => {}, ended: (why) => sent.push(['ended', why]),
  send: async (c) => {
    sent.push([t.now(), c.cue ?? c.verb, c.at]);
    return { ok: true, ms: 1 };
  }, ...more,
});

test('the player runs what a person would, ahead by the way of the message, and leaves what follows', async () => {
  const t = time();
  const sent = [];
  const p = player(t, sent);
  await p.play(lay(sheet()), 0);
  await t.pass(12_000);
  assert.deepEqual(sent.map((s) => s[1]), [1, 2, 4, null]);
  assert.ok(sent[1][0] >= 1990 - 15 && sent[1][0] <= 2005, `cue 2 at ${sent[1][0]}`);
  assert.ok(!p.playing());
});

test('from the middle it takes the cue there up where it is', async () => {
  const t = time();
  const sent = [];
  const p = player(t, sent);
  await p.play(lay(sheet()), 3500);
  await t.pass(7000);
  assert.deepEqual(sent.map((s) => [s[1], s[2]]), [[2, 0.5], ['resume', undefined], [4, undefined]]);
  p.stop();
  assert.deepEqual(sent.at(-1), ['ended', null]);
});

test('a refusal ends the playing and says why', async () => {
  const t = time();
  const sent = [];
  const no = { ok: false, sent: true, refusal: { code: 'c', message: 'm' } };
  const p = player(t, sent, { send: async () => no });
  await p.play(lay(sheet()), 0);
  await t.pass(100);
  assert.deepEqual(sent, [['ended', no]]);
  assert.ok(!p.playing());
});

test('music gives the time', async () => {
  const t = time();
  const sent = [];
  const p = player(t, sent);
  await p.play(lay(sheet(), { 2: 100 }), 0, { position: () => t.now() / 10, end: 200 });
  await t.pass(1100);
  assert.deepEqual(sent.map((s) => s[1]), [1, 2]);
  assert.ok(Math.abs(sent[1][0] - 900) <= 15, `${sent[1][0]}`);
});

test('scrubbing asks for the newest place and numbers what comes', async () => {
  const asked = [];
  const frames = [];
  let next = () => {};
  const s = createScrub({
    frame: (run) => (next = run), failed: () => frames.push('failed'), cells: (f) => frames.push(f), seen: (f) => frames.push(f),
    fetch: async (url) => {
      asked.push(url);
      const seen = url.includes('seen');
      const b = new ArrayBuffer(16 + (seen ? 6 : 12));
      new DataView(b).setUint8(0, seen ? 2 : 1);
      new DataView(b).setUint16(2, 1, true);
      return { ok: !url.includes('/9/'), arrayBuffer: async () => b };
    },
  });
  s.look(2, 0.1);
  s.look(2, 0.25);
  next();
  await new Promise((done) => setTimeout(done));
  assert.deepEqual(asked, ['/api/cues/2/cells?at=0.25', '/api/cues/2/seen?at=0.25']);
  assert.deepEqual(frames.map((f) => f.frame), [1, 1]);
  s.look(9, 1);
  next();
  await new Promise((done) => setTimeout(done));
  assert.equal(frames.at(-1), 'failed');
});

test('a feed is blind to the set while somebody looks elsewhere', () => {
  const wire = createFeed();
  const other = createFeed();
  const shown = createBlind(wire, other);
  let told = 0;
  const end = shown.subscribe(() => told++);
  wire.put('set');
  assert.deepEqual([shown.get(), told], ['set', 1]);
  shown.turn(true);
  other.put('line');
  wire.put('set 2');
  assert.deepEqual([shown.get(), told], ['line', 3]);
  shown.turn(false);
  assert.deepEqual([shown.get(), told], ['set 2', 4]);
  end();
  wire.put('set 3');
  assert.equal(told, 4);
});

/** A rehearsal on a page that has the sheet. */
async function rehearse(change = {}) {
  const t = time();
  const store = createStore(page({ live: live(change) }), (run) => run());
  const sent = [];
  const looks = [];
  const r = createRehearsal(store, {
    ...t, wake: () => {}, tick: () => {}, blind: (on) => looks.push(on), look: (cue, at) => looks.push([cue, at]),
    fetch: async () => ({ ok: true, json: async () => ({ ...sheet(), location: store.get().live.location }) }),
    send: async (c) => (sent.push(c), { ok: true, ms: 1 }), act: async (c) => (sent.push(c), { ok: true, ms: 1 }), music: () => { throw new Error('none'); },
  });
  r.open();
  await new Promise((done) => setTimeout(done));
  return { t, store, sent, looks, r, now: () => store.get().rehearsal };
}

test('scrubbing shows the line until the set moves', async () => {
  const { store, looks, r, now } = await rehearse();
  r.scrub(3500);
  assert.deepEqual(looks, [true, [2, 0.5]]);
  assert.ok(now().blind);
  const before = store.get().live;
  store.update({ live: { ...before, look: 'other' } });
  r.heard(before, store.get().live);
  assert.ok(!now().blind);
  assert.equal(looks.at(-1), false);
});

test('it plays in a dry run only, and stops with it', async () => {
  const wet = await rehearse();
  wet.r.play();
  assert.equal(wet.now().why, 'dry');
  assert.deepEqual(wet.sent, []);
  const dry = await rehearse({ dry: true });
  dry.r.play();
  await dry.t.pass(100);
  assert.deepEqual(dry.sent, [{ verb: 'cue', cue: 1, by: 'page' }]);
  dry.r.heard(dry.store.get().live, { ...dry.store.get().live, dry: false });
  assert.ok(!dry.now().playing);
  await dry.t.pass(5000);
  assert.equal(dry.sent.length, 1);
});

test('it counts before it plays', async () => {
  const { t, r, sent, now } = await rehearse({ dry: true });
  r.countIn();
  assert.equal(now().countIn, '4 beats');
  r.play();
  await t.pass(1990); // four beats of 120 a minute are two seconds
  assert.deepEqual(sent, []);
  assert.deepEqual(now().beat, { left: 1, of: 4 });
  await t.pass(20);
  assert.equal(sent.length, 1);
});

test('four taps make a tempo, a pause begins anew', async () => {
  const { t, r, sent, now } = await rehearse();
  for (let i = 0; i < 3; i++) {
    r.tap();
    await t.pass(500);
  }
  await t.pass(2000);
  for (let i = 0; i < 5; i++) {
    r.tap();
    await t.pass(400);
  }
  assert.deepEqual(sent, [{ verb: 'tempo', taps: [0, 400, 800, 1200] }, { verb: 'tempo', taps: [0, 400, 800, 1200, 1600] }]);
  assert.equal(now().taps, 5);
});

test('somebody on a walk goes at one speed', () => {
  const walk = { name: 'dancer', height_m: 1.7, cue: 2, start_ms: 1000, end_ms: 5000, points: [[0, 0, 0], [3, 0, 0], [3, 1, 0]] };
  assert.deepEqual(onWalk(walk, 0), [0, 0, 0]);
  assert.deepEqual(onWalk(walk, 2000), [1, 0, 0]);
  assert.deepEqual(onWalk(walk, 4000), [3, 0, 0]);
  assert.deepEqual(onWalk(walk, 4500), [3, 0.5, 0]);
  assert.deepEqual(onWalk(walk, 9000), [3, 1, 0]);
});

test('a figure is where the camera sees it: similar triangles of a pinhole', () => {
  // 35 mm on 36 mm: half the picture is 18/35 of the distance.
  const setup = { camera: [0, 0, 1], look_at: [0, 10, 1], lens_mm: 35, sensor_mm: 36 };
  const place = inShot(setup, 16 / 9);
  const { foot, head } = place([2, 10, 0], 2);
  const x = 0.5 + (2 / (10 * 18 / 35)) / 2;
  const y = ((1 * 16 / 9) / (10 * 18 / 35)) / 2;
  for (const [got, want] of [[foot[0], x], [head[0], x], [foot[1], 0.5 + y], [head[1], 0.5 - y]]) assert.ok(Math.abs(got - want) < 1e-6, `${got} ${want}`);
  assert.equal(place([0, -5, 0], 2), null);
});

test('on the plan it is where its walk is', () => {
  const plan = { marks: [{ points: [[0, 0, 0], [10, 10, 0]] }], lamps: [], set: [], bounds: { min: [0, 0], max: [10, 10] } };
  const { foot } = onPlan(plan, 1)([5, 5, 0]);
  assert.deepEqual(foot.map((v) => Math.round(v * 1e6) / 1e6), [0.5, 0.5]);
});

test('a key is told from a finger', async () => {
  const sent = [];
  const store = createStore(page(), (run) => run());
  const verbs = createVerbs(store, { send: async (c) => (sent.push(c), { ok: true, ms: 1 }), frame: () => {}, setTimer: () => 0, clearTimer: () => {}, buzz: () => {} });
  verbs.as('key', () => verbs.back());
  verbs.back();
  assert.deepEqual(sent, [{ verb: 'back', by: 'key' }, { verb: 'back' }]);
});
