// The one state object. Everything on the page is drawn from it; whoever
// changes it goes through `update`, so that a change is drawn once.

/** @import {PageState, Live, Plan} from './types' */

import { noSlate } from './hot/slate.js';
import { noRehearsal } from './rehearse/rehearsal.js';

/** @returns {PageState} */
export function emptyState() {
  return {
    link: { phase: 'opening', ms: null },
    live: null,
    plan: null,
    looks: {},
    seen: {},
    stills: {},
    lit: null,
    meter: null,
    unable: '',
    sent: null,
    refusal: null,
    done: null,
    ride: null,
    trim: { step: 0, for: '' },
    said: '',
    panel: null,
    slate: noSlate(),
    clicker: {},
    learning: null,
    rehearsal: noRehearsal(),
    role: 'owner',
    place: 'set',
    view: 'plan',
    trying: false,
    holding: false,
    hand: 'left',
  };
}

/**
 * A store tells its readers of a change once, however many updates came
 * before the next turn.
 *
 * @param {PageState} first
 * @param {(run: () => void) => void} [soon] puts off telling; a microtask unless given
 */
export function createStore(first, soon = queueMicrotask) {
  let state = first;
  let waiting = false;
  /** @type {Set<(s: PageState) => void>} */
  const readers = new Set();

  function tell() {
    waiting = false;
    for (const read of readers) read(state);
  }

  return {
    get: () => state,

    /** @param {Partial<PageState>} change */
    update(change) {
      state = { ...state, ...change };
      if (waiting) return;
      waiting = true;
      soon(tell);
    },

    /**
     * @param {(s: PageState) => void} reader
     * @returns {() => void} ends the reading
     */
    subscribe(reader) {
      readers.add(reader);
      return () => void readers.delete(reader);
    },
  };
}

/** @typedef {ReturnType<typeof createStore>} Store */

/**
 * Names the stand-by, so that a trim chosen for one is not worn by the next.
 *
 * @param {Live | null} live
 */
export function standbyKey(live) {
  const next = live?.standby;
  if (!live || !next) return '';
  return `${live.location}/${next.cue || ''}/${next.look}`;
}

/**
 * The look that a fade has just reached between two states of the daemon;
 * null when none has. A fade cut short by another one reaches nothing.
 *
 * @param {Live | null} before
 * @param {Live} now
 * @returns {string | null}
 */
export function reached(before, now) {
  if (!before || before.location !== now.location || now.fade || now.killed) return null;
  if (before.fade) return before.fade.to === now.look ? now.look : null;
  return before.look !== now.look ? now.look : null;
}

/**
 * The cue on set: the nearest one before the stand-by, going round the
 * sheet, whose look is on. 0 when the look on set is in no cue.
 *
 * @param {Live | null} live
 * @param {Plan | null} plan
 */
export function cueOnSet(live, plan) {
  const cues = plan?.cues ?? [];
  if (!live) return 0;
  const next = cues.findIndex((c) => c.cue === live.standby?.cue);
  const from = next < 0 ? cues.length : next;
  for (let back = 1; back <= cues.length; back++) {
    const cue = cues[(from - back + cues.length) % cues.length];
    if (cue.look === live.look) return cue.cue;
  }
  return 0;
}

/**
 * The cue `by` places from the one standing by; the sheet goes round.
 * Null when there is no cue sheet.
 *
 * @param {Live | null} live
 * @param {Plan | null} plan
 * @param {1 | -1} by
 */
export function neighbourCue(live, plan, by) {
  const cues = plan?.cues ?? [];
  if (!live || cues.length === 0) return null;
  const at = cues.findIndex((c) => c.cue === live.standby?.cue);
  if (at < 0) return by > 0 ? cues[0] : cues[cues.length - 1];
  return cues[(at + by + cues.length) % cues.length];
}
