// Shows one lamp after another on set: by RDM where a device answers, else by
// light. The newest wish wins; wishes that come faster than the daemon lets lamps
// change wait here.

/** @import {Command, Outcome, Refusal} from '../types' */

/** From one lamp to the next, ms: a little over what the daemon asks for. */
export const APART_MS = 400;
/** How often a lamp that is to stop is told so where no answer comes. */
const STOP_TRIES = 10;

/** @typedef {{lamp: string, uid: string}} Wish uid is "" for light; lamp "" for none */

/** @type {Wish} */
const NONE = { lamp: '', uid: '' };

/**
 * @param {object} world
 * @param {(command: Command) => Promise<Outcome>} world.act
 * @param {(path: string, body: unknown) => Promise<any>} world.post rejects with a Refusal
 * @param {() => number} world.now ms
 * @param {(run: () => void, ms: number) => any} world.setTimer
 * @param {(refusal: Refusal | null) => void} world.tell why a lamp does not show itself
 */
export function createPointer(world) {
  /** What shows itself now. @type {Wish} */
  let on = NONE;
  /** @type {Wish | null} */
  let wish = null;
  let busy = false;
  let last = -Infinity;

  async function work() {
    if (busy) return;
    busy = true;
    while (wish) {
      const wait = wish.lamp && !wish.uid ? last + APART_MS - world.now() : 0;
      if (wait > 0) {
        await new Promise((/** @type {(v?: unknown) => void} */ done) => world.setTimer(done, wait));
        continue;
      }
      const next = wish;
      wish = null;
      await change(next);
    }
    busy = false;
  }

  /** @param {Wish} next */
  async function change(next) {
    world.tell(null);
    if (on.uid && on.uid !== next.uid) await quietly(() => world.post('/api/identify', { uid: on.uid, on: false }));
    if (on.lamp && !on.uid && (next.uid || !next.lamp)) {
      const dark = await darken();
      if (!dark && (wish || !next.lamp)) return; // it is still on, for whoever comes next
    }
    const before = on.uid ? NONE : on;
    on = next;
    if (next.uid) {
      try {
        await world.post('/api/identify', { uid: next.uid, on: true });
      } catch (why) {
        on = NONE;
        world.tell(/** @type {Refusal} */ (why));
      }
    } else if (next.lamp) {
      await light(next, before);
    }
  }

  /** Points with light. @param {Wish} next @param {Wish} before what the daemon points at, where it refuses */
  async function light(next, before) {
    const outcome = await world.act({ verb: 'point', lamp: next.lamp, dim: true });
    last = world.now(); // from the answer on, as the question may have been long on its way
    if (outcome.ok) return;
    if (outcome.refusal.code !== 'no-answer') on = before; // else it may be on
    if (outcome.refusal.code === 'too-soon') wish ??= next; // after another phone
    else world.tell(outcome.refusal);
  }

  /** Has no lamp pointed at. Until the daemon has said so the set is not as it was. */
  async function darken() {
    for (let tries = 0; tries < STOP_TRIES && !wish; tries++) {
      if ((await world.act({ verb: 'point', lamp: '' })).ok) return true;
      await new Promise((/** @type {(v?: unknown) => void} */ done) => world.setTimer(done, APART_MS));
    }
    return false;
  }

  return {
    /** @param {string} lamp @param {string} uid */
    show(lamp, uid) {
      wish = { lamp, uid };
      void work();
    },
    stop() {
      if (!on.lamp && !busy) return;
      wish = NONE;
      void work();
    },
  };
}

/** A lamp that does not stop showing itself stops by itself after a while. @param {() => Promise<any>} run */
async function quietly(run) {
  try {
    await run();
  } catch {
    // it may be off by now
  }
}
