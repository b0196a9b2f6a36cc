import assert from 'node:assert/strict';
import test from 'node:test';
import { padPhase, runCommand, standbyFade, tapCommand } from '../pad/phase.js';
import { standbyKey } from '../state.js';
import { fade, live, page } from './fake/live.mjs';

const refusal = { code: 'c', message: 'm', mend: 'n' };

test('the pad shows one phase, what matters most first', () => {
  for (const [want, state] of [
    ['standby', page()],
    ['dry', page({ live: live({ dry: true }) })],
    ['empty', page({ live: live({ standby: null }) })],
    ['empty', page({ live: null })],
    ['sent', page({ sent: 'cue' })],
    ['standby', page({ sent: 'standby' })],
    ['running', page({ live: live({ fade: fade() }) })],
    ['running', page({ sent: 'hold', live: live({ fade: fade() }) })],
    ['held', page({ live: live({ fade: fade(), held: true }) })],
    ['riding', page({ ride: { look: 'tide', at: 0.3 }, sent: 'cue', live: live({ fade: fade(), held: true }) })],
    ['done', page({ done: 'tide' })],
    ['killed', page({ live: live({ killed: true, fade: fade() }) })],
    ['refused', page({ refusal, live: live({ killed: true }) })],
    ['lost', page({ refusal, link: { phase: 'lost', ms: null } })],
  ]) assert.equal(padPhase(state), want);
});

test('a tap runs what stands by, holds what runs, lets go on what is held', () => {
  assert.deepEqual(tapCommand(page()), { verb: 'cue', cue: 3 });
  assert.deepEqual(tapCommand(page({ live: live({ fade: fade() }) })), { verb: 'hold' });
  assert.deepEqual(tapCommand(page({ live: live({ fade: fade(), held: true }) })), { verb: 'resume' });
  assert.deepEqual(tapCommand(page({ live: live({ killed: true }) })), { verb: 'cue', cue: 3 });
  assert.equal(tapCommand(page({ live: live({ standby: null }) })), null);
});

test('a look without a cue is run by its name', () => {
  const s = page({ live: live({ standby: { cue: 0, look: 'ember', fade_ms: 0, note: '' } }) });
  assert.deepEqual(runCommand(s), { verb: 'cue', look: 'ember' });
});

test('a trim goes with the stand-by it was chosen for and with no other', () => {
  const s = page();
  s.trim = { step: -1, for: standbyKey(s.live) };
  assert.deepEqual(runCommand(s), { verb: 'cue', cue: 3, fade: '2000 ms' });
  s.live = live({ standby: { cue: 4, look: 'warden', fade_ms: 6000, note: '' } });
  assert.deepEqual(runCommand(s), { verb: 'cue', cue: 4 });
  assert.equal(standbyFade(s).ms, 6000);
});
