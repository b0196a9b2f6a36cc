import assert from 'node:assert/strict';
import test from 'node:test';
import { createStore, cueOnSet, emptyState, neighbourCue, reached } from '../state.js';
import { whatToSay } from '../say.js';
import { turn } from './fake/clock.mjs';
import { fade, live, plan } from './fake/live.mjs';

const files = (more = {}) => ({ taken: 0, last: [], taken_ms: 0, problems: [], ...more });

test('many updates are told once, and no reader is told after it has left', async () => {
  const store = createStore(emptyState());
  const seen = [];
  const leave = store.subscribe((s) => seen.push(s.said));
  store.update({ said: 'a' });
  store.update({ said: 'b' });
  assert.equal(store.get().said, 'b');
  await turn();
  assert.deepEqual(seen, ['b']);
  leave();
  store.update({ said: 'c' });
  await turn();
  assert.deepEqual(seen, ['b']);
});

test('the cue on set is the nearest before the stand-by with the look that is on', () => {
  assert.equal(cueOnSet(live(), plan()), 2);
  assert.equal(cueOnSet(live({ standby: { cue: 1, look: 'house', fade_ms: 0 } }), plan()), 4, 'the sheet goes round');
  assert.equal(cueOnSet(live({ standby: null }), plan()), 4);
  assert.equal(cueOnSet(live({ look: 'ember' }), plan()), 0);
  assert.equal(cueOnSet(null, plan()), 0);
  assert.equal(cueOnSet(live(), null), 0);
});

test('the stand-by steps through the sheet and goes round', () => {
  assert.equal(neighbourCue(live(), plan(), 1).cue, 4);
  assert.equal(neighbourCue(live(), plan(), -1).cue, 2);
  assert.equal(neighbourCue(live({ standby: { cue: 4, look: 'warden' } }), plan(), 1).cue, 1);
  assert.equal(neighbourCue(live({ standby: { cue: 0, look: 'ember' } }), plan(), -1).cue, 4);
  assert.equal(neighbourCue(live(), { ...plan(), cues: null }, 1), null);
});

test('a look is reached when its fade ends, not when another one begins', () => {
  const running = live({ look: 'tide', fade: fade() });
  assert.equal(reached(running, live({ look: 'tide' })), 'tide');
  assert.equal(reached(running, live({ look: 'warden' })), null, 'turned back');
  assert.equal(reached(running, live({ look: 'tide', fade: fade({ progress: 0.5 }) })), null);
  assert.equal(reached(running, live({ look: 'tide', killed: true })), null);
  assert.equal(reached(live(), live({ look: 'tide' })), 'tide', 'a snap');
  assert.equal(reached(live(), live()), null);
  assert.equal(reached(null, live()), null);
  assert.equal(reached(live(), live({ location: 'pump-room', look: 'tide' })), null);
});

test('the live region says what ran', () => {
  for (const [want, before, now] of [
    [null, null, live()],
    [null, live(), live()],
    ['tide is running, 4 s', live(), live({ look: 'tide', fade: fade({ progress: 0, remaining_ms: 4000 }) })],
    [null, live({ look: 'tide', fade: fade() }), live({ look: 'tide', fade: fade({ progress: 0.5 }) })],
    ['held at 25 %', live({ look: 'tide', fade: fade() }), live({ look: 'tide', fade: fade(), held: true })],
    ['going on', live({ fade: fade(), held: true }), live({ fade: fade() })],
    ['tide is on set', live({ fade: fade() }), live({ look: 'tide' })],
    ['she surfaces is on set', live(), live({ look: 'she-surfaces' })],
    ['all killed', live({ fade: fade() }), live({ killed: true })],
    ['light is back', live({ killed: true }), live()],
    ['work light on', live(), live({ worklight: true })],
    ['cue 4, warden, stands by', live(), live({ standby: { cue: 4, look: 'warden', fade_ms: 1, note: '' } })],
    [null, live({ files: files() }), live({ files: files() })],
    ['the show was read again: show.yaml', live({ files: files() }), live({ files: files({ taken: 1, last: ['show.yaml'] }) })],
    ['what was saved has 2 problems; the set stays as it is', live({ files: files() }), live({ files: files({ problems: [{}, {}] }) })],
    [null, live({ files: null }), live({ files: files({ taken: 3 }) })],
  ]) assert.equal(whatToSay(before, now), want);
});
