// What the pad says and what a tap on it does, from the state alone.

/** @import {Command, PadPhase, PageState} from '../types' */

import { standbyKey } from '../state.js';
import { trimmed } from '../format.js';

/**
 * The one phase that the pad shows. What the operator must know first wins.
 *
 * @param {PageState} s
 * @returns {PadPhase}
 */
export function padPhase(s) {
  if (s.link.phase === 'lost') return 'lost';
  if (s.refusal) return 'refused';
  if (!s.live) return 'empty';
  if (s.live.killed) return 'killed';
  if (s.ride) return 'riding';
  if (s.sent === 'cue' || s.sent === 'back' || s.sent === 'snap') return 'sent';
  if (s.live.counting) return 'counting';
  if (s.live.fade) return s.live.held ? 'held' : 'running';
  if (s.done !== null) return 'done';
  if (!s.live.standby) return 'empty';
  return s.live.dry ? 'dry' : 'standby';
}

/**
 * The fade that the stand-by will get: as written, or as trimmed.
 *
 * @param {PageState} s
 * @returns {{ms: number, step: number, atLeast: boolean, atMost: boolean} | null}
 */
export function standbyFade(s) {
  const next = s.live?.standby;
  if (!next) return null;
  return trimmed(next.fade_ms, s.trim.for === standbyKey(s.live) ? s.trim.step : 0);
}

/**
 * The command that runs what stands by; null when nothing does.
 *
 * @param {PageState} s
 * @returns {Command | null}
 */
export function runCommand(s) {
  const next = s.live?.standby;
  const fade = standbyFade(s);
  if (!next || !fade) return null;
  /** @type {Command} */
  const command = next.cue ? { verb: 'cue', cue: next.cue } : { verb: 'cue', look: next.look };
  if (fade.step !== 0) command.fade = `${fade.ms} ms`;
  return command;
}

/**
 * What a tap means now: end a count, hold a fade, let it go on, or run the
 * stand-by, counted in where that is chosen.
 *
 * @param {PageState} s
 * @returns {Command | null}
 */
export function tapCommand(s) {
  if (s.live?.counting) return { verb: 'hold' };
  if (s.live?.fade && !s.live.killed) return { verb: s.live.held ? 'resume' : 'hold' };
  const run = runCommand(s);
  return run && s.rehearsal.countIn ? { ...run, count_in: s.rehearsal.countIn } : run;
}
