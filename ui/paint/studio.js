// What is being painted: the look, the cells in hand, the strokes that are not
// in the files yet, and the talk with the daemon about them. It knows no page.

/** @import {Edit, LookPaint, Plan, Refusal, Stroke, Tried} from '../types' */
/** @import {UV} from './chart.js' */

import { createNewest } from '../newest.js';
import { editsOf, groupOf, membersText, tidy, wornNow } from './model.js';

/**
 * @typedef {object} Studio
 * @property {string} name of the look
 * @property {LookPaint | null} look as it is in the files
 * @property {number[]} chosen cells, in the order of patterns
 * @property {string} group that they are; "" for none yet
 * @property {Stroke} stroke what they are to wear
 * @property {number} hand which of its colours is in hand
 * @property {boolean} live shown on the rig as it is painted
 * @property {boolean} here for this location alone
 * @property {Map<string, Stroke>} strokes by group, not in the files yet
 * @property {Map<string, string>} groups that are new, with their members
 * @property {UV[]} reach that the chosen cells share
 * @property {Tried | null} tried what the daemon made of the strokes
 * @property {string[] | null} changes what saving changes in the files; null before it is asked
 * @property {string[]} looks whose light that changes, the worst first
 * @property {Refusal | null} refusal
 * @property {boolean} busy
 */

/** @returns {Studio} */
export function emptyStudio() {
  return {
    name: '', look: null, chosen: [], group: '', stroke: { pattern: 'solid', colours: [], level: '' }, hand: 0, live: false, here: false,
    strokes: new Map(), groups: new Map(), reach: [], tried: null, changes: null, looks: [], refusal: null, busy: false,
  };
}

/**
 * @typedef {object} World
 * @property {() => Plan | null} plan
 * @property {(path: string) => Promise<any>} get JSON of the daemon; throws a Refusal
 * @property {(path: string, body: unknown) => Promise<any>} post the same
 * @property {(run: () => void) => void} frame
 * @property {(s: Studio) => void} tell
 *
 * @param {World} world
 */
export function createStudio(world) {
  let s = emptyStudio();
  let turn = 0;
  /** Of the files, under way or done. @type {Promise<void>} */
  let changes = Promise.resolve();

  /** @param {Partial<Studio>} change */
  function set(change) {
    s = { ...s, ...change };
    world.tell(s);
  }

  const trying = createNewest(async (/** @type {number} */ asked) => {
    const edits = pending();
    try {
      const tried = await world.post('/api/try', { look: s.name, live: s.live, edits });
      if (asked === turn) set({ tried, refusal: null });
    } catch (why) {
      if (asked === turn) set({ refusal: /** @type {Refusal} */ (why) });
    }
  }, world.frame, 1); // requests have no order: one that is late would undo the next

  /** Has the daemon show what there is. */
  function attempt() {
    if (!s.look) return;
    trying.push(++turn);
  }

  /** @returns {Edit[]} */
  function pending() {
    const plan = world.plan();
    if (!s.look || !plan) return [];
    return editsOf(s.look, s.strokes, { location: plan.location, here: s.here, groups: s.groups });
  }

  /** @param {string} name */
  async function open(name) {
    turn++;
    set({ ...emptyStudio(), name, live: s.live, here: s.here, chosen: s.chosen, group: s.group, reach: s.reach });
    await reload();
  }

  async function reload() {
    const name = s.name;
    if (!name) return;
    try {
      const look = /** @type {LookPaint} */ (await world.get(`/api/looks/${encodeURIComponent(name)}/paint`));
      if (s.name !== name) return;
      set({ look, refusal: null });
      if (s.group) set({ stroke: s.strokes.get(s.group) ?? wornNow(look, s.group) });
    } catch (why) {
      if (s.name === name) set({ refusal: /** @type {Refusal} */ (why) });
    }
  }

  /** @param {number[]} cells @param {string} [name] of a group that is meant */
  async function choose(cells, name) {
    const plan = world.plan();
    if (!plan) return;
    const group = name ?? groupOf(cells, plan);
    const stroke = s.strokes.get(group) ?? (s.look && group ? wornNow(s.look, group) : { pattern: /** @type {const} */ ('solid'), colours: [], level: '' });
    set({ chosen: cells, group, stroke, hand: 0, reach: [] });
    if (cells.length === 0) return;
    try {
      const reach = await world.get(`/api/reach?cells=${runs(cells)}`);
      if (s.chosen === cells) set({ reach: reach.shared });
    } catch {
      // the map goes without its outline
    }
  }

  /** @param {Partial<Stroke>} change */
  function paint(change) {
    if (!s.group) return;
    const stroke = { ...s.stroke, ...change };
    if (!stroke.level) stroke.level = '40%';
    const strokes = new Map(s.strokes).set(s.group, tidy(stroke));
    set({ stroke, strokes, changes: null });
    if (stroke.colours.length) attempt();
  }

  /** @param {'undo' | 'redo'} which */
  async function step(which) {
    set({ busy: true, refusal: null });
    try {
      await world.post(`/api/${which}`, { live: s.live });
      await reload();
    } catch (why) {
      set({ refusal: /** @type {Refusal} */ (why) });
    } finally {
      set({ busy: false });
    }
  }

  /** Asks what saving would change, and saves when that has been seen. @param {Edit[]} edits @param {number} revision */
  async function write(edits, revision) {
    set({ busy: true, refusal: null });
    try {
      if (s.changes === null) {
        const { edit } = await world.post('/api/edit', { revision, edits, preview: true });
        set({ changes: edit.changed, looks: edit.looks ?? [] });
        return;
      }
      await world.post('/api/edit', { revision, edits, live: s.live });
      set({ strokes: new Map(), groups: new Map(), changes: null });
      await reload();
    } catch (why) {
      set({ refusal: /** @type {Refusal} */ (why), changes: null });
    } finally {
      set({ busy: false });
    }
  }

  return {
    get: () => s,
    open,
    reload,
    choose,

    /** Names the chosen cells as a group that is made with the next save. @param {string} name */
    name(name) {
      const plan = world.plan();
      if (!plan || !name || s.chosen.length === 0) return;
      set({ group: name, groups: new Map(s.groups).set(name, membersText(s.chosen, plan)), changes: null });
    },

    /** @param {Stroke['pattern']} pattern */
    pattern(pattern) {
      let { colours } = s.stroke;
      if (pattern === 'solid') colours = colours.slice(0, 1);
      else if (colours.length === 1) colours = [colours[0], colours[0]];
      if (colours.length === 0) {
        set({ stroke: { ...s.stroke, pattern } }); // its colours are still to come
        return;
      }
      set({ hand: 0 });
      paint({ pattern, colours });
    },

    /** Puts a colour where the hand is. @param {string} text */
    colour(text) {
      const colours = [...s.stroke.colours];
      colours[Math.min(s.hand, colours.length)] = text;
      if (s.stroke.pattern !== 'solid' && colours.length < 2) colours.push(text);
      paint({ colours });
    },

    /** @param {string} level */
    level(level) {
      paint({ level });
    },

    /** @param {number} hand */
    take: (hand) => set({ hand }),
    more: () => paint({ colours: [...s.stroke.colours, s.stroke.colours[0]] }),
    fewer: () => {
      const colours = s.stroke.colours.slice(0, -1);
      set({ hand: Math.min(s.hand, colours.length - 1) });
      paint({ colours });
    },

    /** @param {boolean} live */
    live(live) {
      set({ live });
      attempt();
    },

    /** @param {boolean} here */
    here(here) {
      set({ here, changes: null });
    },

    /** Lets go of what is not saved; the rig goes back to the look as it is. */
    drop() {
      set({ strokes: new Map(), groups: new Map(), changes: null, tried: null, refusal: null, stroke: s.look && s.group ? wornNow(s.look, s.group) : s.stroke });
      if (s.live) attempt();
    },

    /**
     * Asks what saving would change, and saves when that has been seen: a second tap before
     * does nothing.
     *
     * @param {number} revision
     */
    save(revision) {
      const edits = pending();
      if (edits.length > 0 && !s.busy) changes = write(edits, revision);
      return changes;
    },

    /** One after the other, however fast they are asked for. @param {'undo' | 'redo'} which */
    step(which) {
      changes = changes.then(() => step(which));
      return changes;
    },
  };

}

/** @typedef {ReturnType<typeof createStudio>} StudioVerbs */

/** Cells as the daemon reads them: 0,3-7. @param {number[]} cells */
export function runs(cells) {
  const sorted = [...cells].sort((a, b) => a - b);
  /** @type {string[]} */
  const out = [];
  for (let i = 0; i < sorted.length;) {
    let n = 1;
    while (i + n < sorted.length && sorted[i + n] === sorted[i] + n) n++;
    out.push(n === 1 ? String(sorted[i]) : `${sorted[i]}-${sorted[i + n - 1]}`);
    i += n;
  }
  return out.join(',');
}
