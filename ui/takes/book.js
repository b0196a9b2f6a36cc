// The takes that are written down: the list that was asked for, the take that is
// open, and the talk with the daemon about them. It draws nothing.

/** @import {Refusal} from '../types' */
/** @import {Differs, Photo, Take, TakeQuery} from './types' */

import { allTakes, listPath, nextNumber, slatePath } from './query.js';

/**
 * @typedef {object} Book
 * @property {TakeQuery} query
 * @property {Take[] | null} takes the newest first; null before the first answer
 * @property {number} total on all pages
 * @property {Take | null} open
 * @property {number} event of the open take that is chosen; 1 is roll
 * @property {Differs | null} differs what is another now; null before it is asked
 * @property {Photo[]} photos of the open take
 * @property {Refusal | null} refusal
 * @property {string} busy what is on its way: "", "list", "take", "differs", "photo"
 */

/** @returns {Book} */
export function emptyBook() {
  return { query: allTakes(), takes: null, total: 0, open: null, event: 1, differs: null, photos: [], refusal: null, busy: '' };
}

/**
 * @param {{get: (path: string) => Promise<any>, send: (path: string, file: Blob) => Promise<any>, tell: (b: Book) => void}} world
 *   get and send reject with a Refusal
 */
export function createBook(world) {
  let b = emptyBook();
  /** The newest question of each kind: an answer to an older one is not shown. */
  const turns = { list: 0, take: 0, differs: 0 };

  /** @param {Partial<Book>} change */
  function set(change) {
    b = { ...b, ...change };
    world.tell(b);
  }

  /**
   * @param {'list' | 'take' | 'differs'} kind
   * @param {() => Promise<void>} run
   */
  async function asking(kind, run) {
    set({ busy: kind, refusal: null });
    try {
      await run();
    } catch (why) {
      set({ refusal: /** @type {Refusal} */ (why) });
    } finally {
      if (b.busy === kind) set({ busy: '' });
    }
  }

  /** @param {number} offset 0 begins anew */
  async function list(offset) {
    const turn = ++turns.list;
    const { query } = b;
    await asking('list', async () => {
      const answer = await world.get(listPath(query, offset));
      if (turn !== turns.list) return;
      set({ takes: offset ? [...(b.takes ?? []), ...answer.takes] : answer.takes, total: answer.total });
    });
  }

  /** @param {number} id */
  async function read(id) {
    const turn = ++turns.take;
    await asking('take', async () => {
      const [open, { photos }] = await Promise.all([world.get(`/api/takes/${id}`), world.get(`/api/takes/${id}/photos`)]);
      if (turn === turns.take) set({ open, photos });
    });
  }

  return {
    get: () => b,

    /** @param {Partial<TakeQuery>} [change] of what is looked for */
    find(change) {
      if (change) set({ query: { ...b.query, ...change } });
      return list(0);
    },
    more: () => list(b.takes?.length ?? 0),

    /** @param {number} id */
    open(id) {
      set({ event: 1, differs: null, open: null, photos: [] });
      return read(id);
    },
    close() {
      turns.take++;
      set({ open: null, differs: null, photos: [], refusal: null });
    },

    /** Reads again what is shown: something has changed. */
    async refresh() {
      await list(0);
      if (b.open) await read(b.open.id);
    },

    /** @param {number} event of the open take */
    choose(event) {
      turns.differs++;
      set({ event, differs: null });
    },

    async differs() {
      if (!b.open) return;
      const turn = ++turns.differs;
      const { event, open } = b;
      await asking('differs', async () => {
        const differs = await world.get(`/api/takes/${open.id}/differs?event=${event}`);
        if (turn === turns.differs) set({ differs });
      });
    },

    /** @param {Blob} file JPEG or PNG */
    async photo(file) {
      if (!b.open) return;
      const { id } = b.open;
      set({ busy: 'photo', refusal: null });
      try {
        await world.send(`/api/takes/${id}/photos`, file);
        if (b.open?.id === id) await read(id);
      } catch (why) {
        set({ refusal: /** @type {Refusal} */ (why) });
      } finally {
        if (b.busy === 'photo') set({ busy: '' });
      }
    },

    /**
     * What the next take of a slate counts; null when nobody can say.
     *
     * @param {string} scene
     * @param {string} slate
     */
    async counted(scene, slate) {
      try {
        return nextNumber((await world.get(slatePath(scene, slate))).takes, scene, slate);
      } catch {
        return null; // the daemon counts all the same
      }
    },
  };
}

/** @typedef {ReturnType<typeof createBook>} BookVerbs */
