import assert from 'node:assert/strict';
import test from 'node:test';
import { createNewest } from '../newest.js';
import { createStore } from '../state.js';
import { createVerbs, REFUSAL_MS } from '../verbs.js';
import { FakeClock, turn } from './fake/clock.mjs';
import { fade, live, page } from './fake/live.mjs';

function setUp(state = page()) {
  const clock = new FakeClock();
  const t = { clock, sent: [], frames: [], buzz: [], store: createStore(state) };
  t.verbs = createVerbs(t.store, {
    send: (command) => new Promise((answer) => t.sent.push({ command, answer })),
    frame: (run) => t.frames.push(run),
    buzz: (pattern) => t.buzz.push(pattern),
    setTimer: clock.setTimer, clearTimer: clock.clearTimer,
  });
  t.frame = () => t.frames.splice(0).forEach((run) => run());
  t.commands = () => t.sent.map((s) => s.command);
  t.accept = async (i = t.sent.length - 1) => {
    t.sent[i].answer({ ok: true, ms: 5 });
    await turn();
  };
  t.refuse = async (message = 'no') => {
    t.sent.at(-1).answer({ ok: false, sent: true, refusal: { code: 'c', message, mend: 'do other' } });
    await turn();
  };
  return t;
}

test('a command shows as sent until its answer', async () => {
  const t = setUp();
  t.verbs.tap();
  assert.equal(t.store.get().sent, 'cue');
  await t.accept();
  assert.equal(t.store.get().sent, null);
  assert.deepEqual(t.commands(), [{ verb: 'cue', cue: 3 }]);
  assert.equal(t.buzz.length, 1);
});

test('the answer to an older command does not hide a newer one', async () => {
  const t = setUp();
  t.verbs.back();
  t.verbs.worklight();
  await t.accept(0);
  assert.equal(t.store.get().sent, 'worklight');
  await t.accept(1);
  assert.equal(t.store.get().sent, null);
});

test('work light is asked for by which way it goes', async () => {
  const t = setUp();
  t.verbs.worklight();
  const live = t.store.get().live;
  t.store.update({ live: { ...live, worklight: true } });
  t.verbs.worklight();
  t.store.update({ live: { ...live, worklight: true, killed: true } });
  t.verbs.worklight();
  assert.deepEqual(t.commands().map((c) => c.on), [true, false, true], 'over a kill it comes on');
});

test('a refusal shows with its mend, is said, and goes by itself', async () => {
  const t = setUp();
  t.verbs.snap();
  await t.refuse('nothing runs');
  assert.equal(t.store.get().refusal.message, 'nothing runs');
  assert.equal(t.store.get().said, 'refused: nothing runs; do other');
  await t.clock.pass(REFUSAL_MS - 1);
  assert.ok(t.store.get().refusal);
  await t.clock.pass(1);
  assert.equal(t.store.get().refusal, null);
});

test('the next command takes a refusal away', async () => {
  const t = setUp();
  t.verbs.snap();
  await t.refuse();
  t.verbs.back();
  assert.equal(t.store.get().refusal, null);
});

test('a tap with nothing standing by is refused on the page', async () => {
  const t = setUp(page({ live: live({ standby: null }) }));
  await t.verbs.tap();
  assert.deepEqual(t.sent, []);
  assert.equal(t.store.get().refusal.code, 'nothing-stands-by');
});

test('trims stop at their ends and are spent by the run', async () => {
  const t = setUp();
  for (let i = 0; i < 9; i++) t.verbs.trim(-1);
  t.verbs.trim(1);
  t.verbs.tap();
  assert.deepEqual(t.commands(), [{ verb: 'cue', cue: 3, fade: '1000 ms' }]);
  await t.accept();
  assert.equal(t.store.get().trim.step, 0);
});

test('stand-by goes by cue, or by look where there is no cue', () => {
  const t = setUp();
  t.verbs.step(1);
  t.verbs.standby({ cue: 2, look: 'warden' });
  t.verbs.standby({ cue: 0, look: 'ember' });
  assert.deepEqual(t.commands(), [{ verb: 'standby', cue: 4 }, { verb: 'standby', cue: 2 }, { verb: 'standby', look: 'ember' }]);
});

test('a ride runs the cue where the thumb is, then moves it, then lets it end', async () => {
  const t = setUp();
  assert.equal(t.verbs.riding.begin(), 0);
  t.verbs.riding.move(0);
  t.frame();
  assert.deepEqual(t.commands(), [], 'nothing runs before the thumb has risen');
  t.verbs.riding.move(0.1);
  t.verbs.riding.move(0.2);
  t.frame();
  assert.deepEqual(t.commands(), [{ verb: 'cue', cue: 3, at: 0.2 }], 'one a frame, the newest');
  assert.deepEqual(t.store.get().ride, { look: 'tide', at: 0.2 });
  await t.accept();
  t.verbs.riding.move(1);
  t.frame();
  assert.deepEqual(t.commands().at(-1), { verb: 'ride', at: 0.999 }, 'a thumb at the top can still come back');
  await t.accept();
  t.verbs.riding.end(0.99);
  t.frame();
  assert.deepEqual(t.commands().at(-1), { verb: 'ride', at: 1 });
  assert.equal(t.store.get().ride, null);
});

test('a ride over a fade takes that fade', () => {
  const t = setUp(page({ live: live({ fade: fade() }) }));
  assert.equal(t.verbs.riding.begin(), 0.25);
  t.verbs.riding.move(0.4);
  t.frame();
  assert.deepEqual(t.commands(), [{ verb: 'ride', at: 0.4 }]);
});

test('a ride that is refused ends and says so', async () => {
  const t = setUp();
  t.verbs.riding.begin();
  t.verbs.riding.move(0.1);
  t.frame();
  t.verbs.riding.move(0.2);
  await t.refuse();
  t.frame();
  t.verbs.riding.move(0.3);
  t.frame();
  assert.equal(t.sent.length, 1);
  assert.equal(t.store.get().ride, null);
  assert.ok(t.store.get().refusal);
});

test('a press that slides down on a stand-by runs nothing', () => {
  const t = setUp();
  t.verbs.riding.begin();
  t.verbs.riding.move(0);
  t.verbs.riding.end(0);
  t.frame();
  assert.deepEqual(t.commands(), []);
});

test('overall goes as a percentage within its range', async () => {
  const t = setUp();
  t.verbs.overall(0.755);
  t.frame();
  await t.accept();
  t.verbs.overall(1.3);
  t.frame();
  assert.deepEqual(t.commands(), [{ verb: 'overall', level: '76%' }, { verb: 'overall', level: '100%' }]);
});

test('a slow link carries the newest value and no queue', async () => {
  const flights = [];
  const frames = [];
  const newest = createNewest((v) => new Promise((land) => flights.push({ v, land })), (run) => frames.push(run));
  const frame = () => frames.splice(0).forEach((run) => run());
  for (let v = 1; v <= 50; v++) {
    newest.push(v);
    frame();
  }
  assert.deepEqual(flights.map((f) => f.v), [1, 2], 'two on their way, no more');
  flights[0].land();
  await turn();
  frame();
  assert.deepEqual(flights.map((f) => f.v), [1, 2, 50]);
  newest.push(51);
  newest.drop();
  flights[1].land();
  await turn();
  frame();
  assert.equal(flights.length, 3, 'what was dropped stays on the ground');
});
