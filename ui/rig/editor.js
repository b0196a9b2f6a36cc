// Edits of the rig, one after the other: each is made of the plan as the edit before
// it left it, so that two quick ones neither meet nor undo each other.

/** @import {Edit, Plan, Refusal} from '../types' */

/** Edits of one request. */
const MOST_EDITS = 500;
/** How long a plan that an edit has changed is waited for, and between two looks, ms. */
export const PLAN_MS = 1500;
const LOOK_MS = 25;

/**
 * @param {object} world
 * @param {(path: string, body: unknown) => Promise<any>} world.post rejects with a Refusal
 * @param {() => Plan | null} world.plan as the page has it now
 * @param {() => number | undefined} world.revision of the show that is edited; undefined where nothing edits it
 * @param {(ms: number) => Promise<unknown>} world.rest
 * @param {(refusal: Refusal | null) => void} world.tell
 * @param {Refusal} world.noEditor
 */
export function createEditor(world) {
  /** @type {Promise<unknown>} */
  let queue = Promise.resolve();
  let newest = 0;

  /** @param {(plan: Plan) => Edit[]} make @returns {Promise<boolean>} */
  async function run(make) {
    world.tell(null);
    const plan = world.plan();
    const known = world.revision();
    if (!plan || known === undefined) {
      world.tell(world.noEditor);
      return false;
    }
    const edits = make(plan);
    let revision = Math.max(known, newest);
    try {
      let waits = false;
      for (let i = 0; i < edits.length; i += MOST_EDITS) {
        const { edit } = await world.post('/api/edit', { revision, edits: edits.slice(i, i + MOST_EDITS), live: true });
        revision = newest = edit.revision;
        waits = edit.waits;
      }
      if (edits.length && !waits) await arrival(plan);
      return true;
    } catch (why) {
      world.tell(/** @type {Refusal} */ (why));
      return false;
    } finally {
      newest = 0; // the state tells it from here on
    }
  }

  /** Waits until the plan is another one. @param {Plan} was */
  async function arrival(was) {
    for (let ms = 0; world.plan() === was && ms < PLAN_MS; ms += LOOK_MS) await world.rest(LOOK_MS);
  }

  /**
   * Makes edits of the plan as it will be when it is their turn.
   *
   * @param {(plan: Plan) => Edit[]} make
   * @returns {Promise<boolean>} false when they were refused
   */
  return function edit(make) {
    const done = queue.then(() => run(make));
    queue = done;
    return done;
  };
}
