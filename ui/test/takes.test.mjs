import assert from 'node:assert/strict';
import test from 'node:test';
import { clockText, noSlate, slateOf, takeCommand, takeName } from '../hot/slate.js';
import { whatToSay } from '../say.js';
import { createStore } from '../state.js';
import { createBook } from '../takes/book.js';
import { allTakes, dayAfter, exportPath, isAll, listPath, nextNumber } from '../takes/query.js';
import { cameraWords, differenceWords, eventTimes, eventWords, ran, recalledWords, sorted, stopsWords, wall } from '../takes/telling.js';
import { createVerbs, TAKE_TWICE_MS } from '../verbs.js';
import { FakeClock, turn } from './fake/clock.mjs';
import { live, page, plan } from './fake/live.mjs';

const mark = (more = {}) => ({ id: 7, scene: '12', slate: 'A', number: 3, setup: 'wide', since: '', running_ms: 0, kept: true, note: '', circled: false, ...more });
const next = { scene: '12', slate: 'A', number: 4 };
const ready = (more = {}, slate = {}) =>
  page({ live: live({ next_take: next, ...more }), plan: { ...plan(), setups: [{ name: 'wide' }] }, slate: { ...noSlate(), ...slate } });

test('the slate is the next take, what a person wrote, or the take that rolls', () => {
  assert.deepEqual(slateOf(ready()), { scene: '12', slate: 'A', number: 4, setup: 'wide', byHand: false });
  assert.equal(slateOf(ready({}, { slate: 'B' })).number, null, 'the number of another slate is not known here');
  assert.equal(slateOf(ready({}, { slate: 'B', counted: 2 })).number, 2);
  assert.deepEqual(slateOf(ready({}, { number: 9 })), { scene: '12', slate: 'A', number: 9, setup: 'wide', byHand: true });
  assert.equal(slateOf(ready({ hot: true, take: mark() }, { scene: '99' })).scene, '12', 'a slate does not change while it rolls');
  assert.equal(takeName(slateOf(ready())), '12/A/4');
  assert.equal(takeName({ scene: '12', slate: 'A', number: null }), '12/A');
});

test('one button rolls and cuts', () => {
  assert.deepEqual(takeCommand(ready()), { verb: 'take', do: 'roll', scene: '12', slate: 'A', setup: 'wide' });
  assert.deepEqual(takeCommand(ready({}, { scene: '14', number: 2 })), { verb: 'take', do: 'roll', scene: '14', slate: 'A', setup: 'wide', number: 2 });
  assert.equal(takeCommand(ready({}, { setup: 'gone' })).setup, undefined, 'a set-up that is not there is left out');
  assert.deepEqual(takeCommand(ready({ hot: true, take: mark() })), { verb: 'take', do: 'cut' });
  assert.equal(takeCommand(page({ live: live({ next_take: { scene: '', slate: '', number: 1 } }) })), null);
});

function hands() {
  const clock = new FakeClock();
  const t = { clock, sent: [], store: createStore(ready()) };
  t.verbs = createVerbs(t.store, {
    send: async (command) => { t.sent.push(command); return { ok: true, ms: 1 }; },
    frame: (run) => run(), buzz: () => {}, countIn: () => {}, setTimer: clock.setTimer, clearTimer: clock.clearTimer,
  });
  return t;
}

test('a button that bounces rolls once, and the slate is clean after it', async () => {
  const t = hands();
  t.store.update({ slate: { ...noSlate(), scene: '14' } });
  t.verbs.take();
  t.verbs.take();
  await turn();
  assert.equal(t.sent.length, 1);
  assert.deepEqual(t.store.get().slate, noSlate());
  await t.clock.pass(TAKE_TWICE_MS);
  t.store.update({ live: live({ hot: true, take: mark(), next_take: next }) });
  t.verbs.take();
  assert.deepEqual(t.sent[1], { verb: 'take', do: 'cut' });
});

test('an empty slate is refused on the page, with what to do', () => {
  const t = hands();
  t.store.update({ live: live({ next_take: { scene: '', slate: '', number: 1 } }) });
  t.verbs.take();
  assert.equal(t.sent.length, 0);
  assert.equal(t.store.get().refusal.code, 'no-slate');
});

test('roll and cut are said, and a take that is not on the disk', () => {
  const cool = live({ next_take: next, last_take: null });
  const hot = live({ hot: true, take: mark({ kept: null }) });
  assert.equal(whatToSay(cool, hot), 'take 12 A 3 rolls; the set is hot');
  assert.equal(whatToSay(hot, live({ last_take: mark() })), 'cut, take 12 A 3');
  assert.equal(whatToSay(hot, live({ last_take: null })), null, 'a roll that was refused is no cut');
  assert.match(whatToSay(hot, live({ hot: true, take: mark({ kept: false }) })), /not on the disk/);
});

test('the clock of a take', () => {
  assert.deepEqual([0, 999, 7000, 725_000, 3_723_000].map(clockText), ['0:00', '0:00', '0:07', '12:05', '1:02:03']);
});

test('takes are asked for by scene, look and day', () => {
  assert.equal(listPath(allTakes(), 0), '/api/takes?limit=30');
  const q = { scene: '12 A', look: 'tide', day: '2026-12-31', circled: true };
  assert.equal(listPath(q, 30), '/api/takes?scene=12+A&look=tide&since=2026-12-31&until=2027-01-01&circled=1&limit=30&offset=30');
  assert.equal(exportPath(q, 'edl'), '/api/takes?scene=12+A&look=tide&since=2026-12-31&until=2027-01-01&circled=1&form=edl');
  assert.equal(dayAfter('2028-02-28'), '2028-02-29', 'a leap year');
  assert.ok(isAll(allTakes()) && !isAll(q));
});

test('the number of another slate counts from the takes of it', () => {
  const takes = [{ scene: '12', slate: 'A', number: 5 }, { scene: '12', slate: 'A', number: 2 }, { scene: '12', slate: 'B', number: 9 }];
  assert.equal(nextNumber(takes, '12', 'A'), 6);
  assert.equal(nextNumber(takes, '12', 'C'), 1);
});

const event = (more) => ({ n: 2, at: '2026-11-27T21:04:05.5+01:00', kind: 'cue', location: 'deep-end', look: 'tide', cue: 3, fade_ms: 4000, progress: 0, overall: 1, dark: false, killed: false, dry: false, timecode: { day: '21:04:05:12', in: '' }, ...more });
const shot = (more = {}) => ({
  id: 7, scene: '12', slate: 'A', number: 3, show: 's', location: 'deep-end', setup: 'wide', clip: '',
  camera: { iso: 800, stop: 2.8, shutter_deg: 172.8, fps: 48, timeline: 24, balance_k: 4300, lens_mm: 35 }, tempo: { bpm: 0, beats_per_bar: 4 },
  rolled: '2026-11-27T21:04:00+01:00', cut: '2026-11-27T21:05:00+01:00', broken: false, from: {}, to: {}, looks: [], note: '', circled: false, warnings: [], readings: [], lost: 0, photos: 0, ...more,
});

test('events in words, with their time from roll', () => {
  assert.equal(eventWords(event()), 'cue 3, tide, 4 s');
  assert.equal(eventWords(event({ cue: 0, fade_ms: 0 })), 'tide, at once');
  assert.equal(eventWords(event({ kind: 'hold', progress: 0.43 })), 'held at 43 %');
  assert.equal(eventWords(event({ kind: 'dry run', dry: false })), 'dry run ends');
  assert.equal(eventWords(event({ kind: 'work light' })), 'work light');
  assert.deepEqual(eventTimes(shot(), event()), { after: '0:05.5', code: '21:04:05:12' });
  assert.equal(eventTimes(shot(), event({ timecode: { day: '21:04:05:12', in: '01:00:12:08' } })).code, '01:00:12:08', 'code that ran comes before the clock of day');
  assert.equal(ran(shot()), 60_000);
  assert.equal(ran(shot({ cut: undefined })), null);
  assert.deepEqual(wall('2026-11-27T21:04:00+01:00'), { day: '2026-11-27', time: '21:04' }, 'as the clock of the daemon had it');
  assert.equal(cameraWords(shot()), 'wide, 35 mm, T2.8, ISO 800, 172.8°, 48 fps for 24, 4300 K');
});

test('what differs is told worst first, in stops and u\'v\'', () => {
  const lamp = (more) => ({ kit: 'T1', rig: 'lane-1', state: 'differs', stops: 0, delta_uv: 0, cell: 0, cell_stops: 0, cell_delta_uv: 0, lumens_then: 1, lumens_now: 1, other: [], ...more });
  const all = { near_stops: 0.2, near_delta_uv: 0.003, lamps: [lamp({ state: 'off', stops: -20 }), lamp({ stops: -1, delta_uv: 0.05 }), lamp({ state: 'near' }), lamp({ state: 'near' })] };
  assert.equal(sorted(all).near, 2);
  const [off, half] = sorted(all).far.map((d) => differenceWords(d, all));
  assert.deepEqual(off, { light: 'was lit, is dark', colour: '', cell: '', other: '' });
  assert.equal(half.light, '1.0 stop darker');
  assert.equal(half.colour, "another colour, 0.050 u'v'");
  const one = differenceWords(lamp({ stops: -0.3, delta_uv: 0.001, cell: 2, cell_stops: -20, cell_delta_uv: 0, other: ['address'] }), all);
  assert.equal(one.cell, "most at cell 2: was lit, is dark, same colour");
  assert.equal(one.other, 'other address');
  assert.equal(stopsWords(0.04), 'as bright');
  assert.equal(stopsWords(0.7), '0.7 stops brighter');
});

test('what became of the lamps of a take that is on again', () => {
  const name = (rig) => ({ kit: 'k', rig, type: 't' });
  assert.deepEqual(recalledWords({ take: 1, event: 1, name: '12/A/1', lamps: { same: 1, solved: [{ ...name('lane-2'), was: 'tube', stops: 0.1, delta_uv: 0.0012 }], missing: [name('edge')], spare: [], lifted: [] } }), [
    '1 lamp has the very bytes', "lane 2 was tube, mixed anew: 0.1 stops brighter, 0.0012 u'v' off", 'not here any more: edge',
  ]);
});

function books() {
  const t = { asked: [], shown: null };
  t.book = createBook({
    get: (path) => new Promise((answer, refuse) => t.asked.push({ path, answer, refuse })),
    send: (path) => new Promise((answer, refuse) => t.asked.push({ path, answer, refuse })),
    tell: (b) => { t.shown = b; },
  });
  return t;
}

test('the answer to an older search is not shown', async () => {
  const t = books();
  t.book.find();
  t.book.find({ scene: '12' });
  t.asked[1].answer({ takes: [shot()], total: 1 });
  await turn();
  t.asked[0].answer({ takes: [], total: 0 });
  await turn();
  assert.equal(t.shown.total, 1);
  assert.equal(t.shown.busy, '');
});

test('older takes join the list', async () => {
  const t = books();
  t.book.find();
  t.asked[0].answer({ takes: [shot()], total: 2 });
  await turn();
  t.book.more();
  assert.match(t.asked[1].path, /offset=1/);
  t.asked[1].answer({ takes: [shot({ id: 6 })], total: 2 });
  await turn();
  assert.deepEqual(t.shown.takes.map((x) => x.id), [7, 6]);
});

test('a take is compared at the moment that is chosen, and a refusal is shown', async () => {
  const t = books();
  t.book.open(7);
  t.asked[0].answer(shot());
  t.asked[1].answer({ photos: [] });
  await turn();
  await turn();
  t.book.choose(3);
  t.book.differs();
  assert.equal(t.asked[2].path, '/api/takes/7/differs?event=3');
  t.book.choose(1);
  t.asked[2].answer({ lamps: [] });
  await turn();
  assert.equal(t.shown.differs, null, 'it belongs to another moment');
  t.book.photo(new Blob(['x']));
  t.asked[3].refuse({ code: 'bad-photo', message: 'no JPEG and no PNG', mend: 'send another' });
  await turn();
  assert.equal(t.shown.refusal.message, 'no JPEG and no PNG');
  assert.equal(t.shown.busy, '');
});
