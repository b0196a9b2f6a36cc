// What the operator can do. Each verb goes to the daemon and comes back as
// accepted or refused; nothing here touches the page.

/** @import {Command, Outcome, PlanCue, Refusal} from './types' */
/** @import {Store} from './state.js' */

import { texts } from './texts.js';
import { toldRefusal } from './told.js';
import { noSlate, takeCommand } from './hot/slate.js';
import { createNewest } from './newest.js';
import { runCommand, standbyFade, tapCommand } from './pad/phase.js';
import { neighbourCue, standbyKey } from './state.js';
import { trimmed } from './format.js';

/** How long a refusal stays on the pad, ms. */
export const REFUSAL_MS = 8000;
/** A ride is let run out from here on: a thumb does not find the last percent. */
const AS_GOOD_AS_DONE = 0.985;
/** A second press of roll and cut within this is the first one, bounced, ms. */
export const TAKE_TWICE_MS = 700;
/** While the thumb is down the fade does not end, so that it can come back. */
const NOT_YET_DONE = 0.999;

/**
 * @typedef {object} Hands
 * @property {(command: Command) => Promise<Outcome>} send
 * @property {(run: () => void) => void} frame next animation frame
 * @property {(run: () => void, ms: number) => any} setTimer
 * @property {(timer: any) => void} clearTimer
 * @property {(pattern: number[]) => void} buzz vibrates where the device can
 * @property {() => void} countIn the next way of counting in
 *
 * @param {Store} store
 * @param {Hands} hands
 */
export function createVerbs(store, hands) {
  /** @type {any} */
  let refusalTimer = null;
  let newest = 0;
  let justTaken = false;
  /** What makes the page ask, where it is no finger. */
  let by = '';

  /** @param {Refusal} refusal */
  function refuse(refusal) {
    store.update({ refusal, said: texts.said.refused({ ...refusal, ...toldRefusal(refusal) }) });
    hands.clearTimer(refusalTimer);
    refusalTimer = hands.setTimer(() => store.update({ refusal: null }), REFUSAL_MS);
    hands.buzz([60, 60, 60]);
  }

  /**
   * @param {Command} command
   * @returns {Promise<Outcome>}
   */
  async function act(command) {
    const turn = ++newest;
    store.update({ sent: command.verb, refusal: null });
    const outcome = await hands.send(by ? { ...command, by } : command);
    if (turn === newest) store.update({ sent: null });
    if (outcome.ok) hands.buzz([18]);
    else refuse(outcome.refusal);
    return outcome;
  }

  /** @param {Command | null} command */
  async function run(command) {
    if (!command) {
      refuse(texts.pad.nothing);
      return;
    }
    const outcome = await act(command);
    if (outcome.ok && command.verb === 'cue') store.update({ trim: { step: 0, for: '' } });
  }

  const riding = createRide(store, { send: hands.send, frame: hands.frame, refuse });
  const overall = createNewest(async (/** @type {number} */ share) => {
    const outcome = await hands.send({ verb: 'overall', level: `${Math.round(share * 100)}%` });
    if (!outcome.ok) refuse(outcome.refusal);
  }, hands.frame);

  return {
    act,
    /**
     * Has what is asked in a call told as asked by something else than a finger.
     *
     * @template T
     * @param {'key'} source
     * @param {() => T} run
     */
    as(source, run) {
      by = source;
      try {
        return run();
      } finally {
        by = '';
      }
    },
    tap: () => run(tapCommand(store.get())),
    back: () => void act({ verb: 'back' }),
    hold: () => void act({ verb: store.get().live?.held ? 'resume' : 'hold' }),
    snap: () => void act({ verb: 'snap' }),
    countIn: () => hands.countIn(),
    /** Says which way it goes: of two people who press in the dark nobody turns it off again. */
    worklight() {
      const { live } = store.get();
      void act({ verb: 'worklight', on: !live?.worklight || live.killed });
    },
    kill: () => void act({ verb: 'kill', on: true }),
    unkill: () => void act({ verb: 'kill', on: false }),

    /** Rolls, or cuts the take that rolls. */
    async take() {
      if (justTaken) return;
      const command = takeCommand(store.get());
      if (!command) {
        refuse(texts.takes.noSlate);
        return;
      }
      justTaken = true;
      hands.setTimer(() => void (justTaken = false), TAKE_TWICE_MS);
      const outcome = await act(command);
      if (outcome.ok && command.do === 'roll') store.update({ slate: noSlate() });
    },
    /**
     * Puts a take right that is written down.
     *
     * @param {number} take
     * @param {Record<string, unknown>} change
     */
    changeTake: (take, change) => act({ verb: 'take', do: 'change', take, ...change }).then((outcome) => outcome.ok),
    /** @param {number} take @param {number} event of it @param {string} fade */
    asShot: (take, event, fade) => void act({ verb: 'as-shot', take, event, fade }),

    /** @param {boolean} on */
    dry: (on) => void act({ verb: 'dry', on }),
    /** @param {string} name */
    location: (name) => void act({ verb: 'location', name }),
    /** @param {string} setup */
    setup: (setup) => void act({ verb: 'setup', setup }),
    /** @param {Pick<PlanCue, 'cue' | 'look'>} target cue 0 stands for the look by itself */
    standby: ({ cue, look }) => void act(cue ? { verb: 'standby', cue } : { verb: 'standby', look }),
    /** @param {number} share 0..1 */
    overall: (share) => overall.push(Math.min(1, Math.max(0, share))),
    riding,

    /** @param {1 | -1} by */
    step(by) {
      const cue = neighbourCue(store.get().live, store.get().plan, by);
      if (cue) act({ verb: 'standby', cue: cue.cue });
    },

    /** @param {1 | -1} by longer or shorter */
    trim(by) {
      const s = store.get();
      const fade = standbyFade(s);
      if (!fade || !s.live?.standby) return;
      const { step } = trimmed(s.live.standby.fade_ms, fade.step + by);
      store.update({ trim: { step, for: standbyKey(s.live) } });
    },
  };
}

/** @typedef {ReturnType<typeof createVerbs>} Verbs */

/**
 * A ride from its first move to the lift of the thumb: over the stand-by it
 * runs the cue at where the thumb is, over a fade it takes that fade.
 *
 * @param {Store} store
 * @param {Pick<Hands, 'send' | 'frame'> & {refuse: (r: Refusal) => void}} hands
 */
function createRide(store, hands) {
  /** The cue that the ride has yet to run; null once the daemon has it. @type {Command | null} */
  let cue = null;
  let begun = false;

  const sender = createNewest(async (/** @type {number} */ at) => {
    const command = cue ? { ...cue, at } : { verb: 'ride', at };
    const outcome = await hands.send(command);
    if (outcome.ok) {
      cue = null;
      return;
    }
    sender.drop();
    begun = false;
    store.update({ ride: null });
    hands.refuse(outcome.refusal);
  }, hands.frame);

  return {
    /** @returns {number} progress that the ride begins at */
    begin() {
      const s = store.get();
      const fade = s.live?.killed ? null : s.live?.fade;
      cue = fade ? null : runCommand(s);
      begun = Boolean(fade || cue);
      if (!begun) {
        hands.refuse(texts.pad.nothing);
        return 0;
      }
      store.update({ refusal: null, ride: { look: fade?.to ?? s.live?.standby?.look ?? '', at: fade?.progress ?? 0 } });
      return fade?.progress ?? 0;
    },

    /** @param {number} at 0..1 */
    move(at) {
      const s = store.get();
      if (!begun || !s.ride) return;
      store.update({ ride: { ...s.ride, at } });
      if (cue && at === 0) return; // not begun to rise: the cue has not run
      sender.push(Math.min(at, NOT_YET_DONE));
    },

    /** @param {number} at 0..1 */
    end(at) {
      if (begun && !(cue && at === 0)) sender.push(at >= AS_GOOD_AS_DONE ? 1 : at);
      begun = false;
      store.update({ ride: null, trim: { step: 0, for: '' } });
    },

    /** One step by key. @param {number} by share of the fade */
    nudge(by) {
      const from = this.begin();
      const at = Math.min(1, Math.max(0, from + by));
      this.move(at);
      this.end(at);
    },
  };
}
