// Plays the cue sheet: sends the verb of each cue when its time comes, by a
// clock that runs here or by the position of music. Cues that follow another by
// themselves are left to the daemon.

/** @import {Command, LaidCue, Outcome} from '../types' */

/** How often it looks at its clock, ms. */
const STEP = 15;
/** How long it goes on after the last cue has ended, ms. */
const REST = 600;

/**
 * @param {{now: () => number, setTimer: (run: () => void, ms: number) => any, clearTimer: (timer: any) => void,
 *   send: (command: Command) => Promise<Outcome>, lead: () => number, moved: (ms: number) => void,
 *   ended: (why: Outcome | null) => void}} world lead is how long before its time a verb is sent, ms
 */
export function createPlayer(world) {
  /** @type {{cues: LaidCue[], next: number, position: () => number, end: number, by: string} | null} */
  let run = null;
  /** @type {any} */
  let timer = null;

  /** @param {Command} command */
  async function ask(command) {
    const mine = run;
    const outcome = await world.send(command);
    if (!outcome.ok && run === mine) finish(outcome);
    return outcome.ok;
  }

  /** @param {Outcome | null} why */
  function finish(why) {
    world.clearTimer(timer);
    if (!run) return;
    run = null;
    world.ended(why);
  }

  function step() {
    if (!run) return;
    const ms = run.position();
    world.moved(ms);
    const { cues, by } = run;
    while (run && run.next < cues.length && cues[run.next].start - world.lead() <= ms) {
      const c = cues[run.next++];
      if (c.waits !== 'follow') void ask({ verb: 'cue', cue: c.cue, by });
    }
    if (run && ms > run.end + REST) return finish(null);
    if (run) timer = world.setTimer(step, STEP);
    return undefined;
  }

  /**
   * Puts the set where the sheet is at a time, the cue that runs there running on.
   *
   * @param {LaidCue[]} cues @param {number} ms @param {string} by
   */
  async function take(cues, ms, by) {
    const on = cues.filter((c) => c.start < ms).sort((a, b) => a.start - b.start).pop();
    if (!on) return true;
    const length = on.end - on.start;
    const at = length > 0 ? Math.min(1, (ms - on.start) / length) : 1;
    return (await ask({ verb: 'cue', cue: on.cue, at, by })) && ask({ verb: 'resume', by });
  }

  return {
    playing: () => run !== null,
    stop: () => finish(null),

    /**
     * Plays from a time on.
     *
     * @param {LaidCue[]} cues
     * @param {number} from ms
     * @param {{position?: () => number, end?: number}} [music] where the music is, ms; without it a clock begins at from
     */
    async play(cues, from, music = {}) {
      finish(null);
      const by = music.position ? 'music' : 'page';
      const sorted = [...cues].sort((a, b) => a.start - b.start);
      const next = sorted.findIndex((c) => c.start >= from);
      const begun = world.now();
      run = {
        cues: sorted, next: next < 0 ? sorted.length : next, by,
        position: music.position ?? (() => from + world.now() - begun), end: Math.max(music.end ?? 0, ...sorted.map((c) => c.end)),
      };
      const mine = run;
      if (from > 0 && !(await take(sorted, from, by))) return;
      if (run === mine) step();
    },
  };
}

/** @typedef {ReturnType<typeof createPlayer>} Player */
