// Rehearsal: the cue sheet as a line in time to scrub and to play, its tempo by
// tapping, cues counted in, and music with its marks. Draws nothing.

/** @import {Counting, Live, Outcome, RehearsalState, Timeline} from '../types' */
/** @import {Store} from '../state.js' */
/** @import {Music} from './music.js' */

import { endOf, lay, moment } from './lay.js';
import { createMetronome } from './metronome.js';
import { createPlayer } from './player.js';

/** How long a person is taken to wait before a cue that runs by hand. */
const GAP = '2 s';
/** After this pause a tap is the first of a new set, ms. */
const TAP_PAUSE = 2000;
const TAPS = { least: 4, most: 16 };
/** What can be counted in; beats only where there is a tempo. */
const COUNTS = ['', '4 beats', '8 beats', '3 s', '5 s', '10 s'];

/**
 * @param {Store} store
 * @param {{now: () => number, setTimer: (run: () => void, ms: number) => any, clearTimer: (timer: any) => void,
 *   fetch: (url: string) => Promise<Response>, send: import('../verbs.js').Hands['send'],
 *   act: (command: import('../types').Command) => Promise<Outcome>, look: (cue: number, at: number) => void, blind: (on: boolean) => void,
 *   wake: () => void, tick: (last: boolean) => void, music: (file: File) => Music}} world
 */
export function createRehearsal(store, world) {
  /** @type {number[]} */
  let taps = [];
  let wanted = '';
  /** @type {Music | null} */
  let music = null;
  /** A count of the page's own, before it plays. @type {{due: number, total: number, beat: number, beats: boolean} | null} */
  let own = null;
  /** @type {any} */
  let counted = null;

  const get = () => store.get().rehearsal;
  /** @param {Partial<RehearsalState>} change */
  const update = (change) => store.update({ rehearsal: { ...get(), ...change } });

  const metronome = createMetronome({
    ...world,
    tick(left, of) {
      update({ beat: { left, of } });
      if (get().sound) world.tick(left === 1);
    },
    end: () => update({ beat: null }),
  });
  const player = createPlayer({
    ...world,
    lead: () => (store.get().link.ms ?? 0) / 2,
    moved: (ms) => update({ at: ms }),
    ended(why) {
      music?.stop();
      update({ playing: false, why: why && !why.ok ? why.refusal.message : '' });
    },
  });

  const cues = () => {
    const { timeline, music: m } = get();
    return timeline ? lay(timeline, m?.marks) : [];
  };

  /** @returns {Counting | null} */
  function counting() {
    const live = store.get().live?.counting ?? null;
    if (live || !own) return live;
    return { cue: 0, look: '', remaining_ms: own.due - world.now(), total_ms: own.total, beat_ms: own.beat, beats: own.beats };
  }

  async function load() {
    const live = store.get().live;
    const key = live ? JSON.stringify([live.revision, live.location, live.tempo]) : '';
    if (!live || key === wanted) return;
    wanted = key;
    try {
      const response = await world.fetch(`/api/timeline?gap=${encodeURIComponent(GAP)}`);
      if (!response.ok) throw new Error(`HTTP ${response.status}`);
      const timeline = /** @type {Timeline} */ (await response.json());
      if (timeline.location === store.get().live?.location) update({ timeline });
    } catch {
      wanted = ''; // the next state asks again
    }
  }

  function live() {
    if (!get().blind) return;
    world.blind(false);
    update({ blind: false });
  }

  function stop() {
    world.clearTimer(counted);
    own = null;
    metronome.follow(counting());
    player.stop();
    music?.stop();
    update({ playing: false });
  }

  /** How long the page counts before it plays, ms. @param {string} text */
  function lengthOf(text) {
    const n = Number.parseFloat(text);
    const bpm = store.get().live?.tempo?.bpm ?? 0;
    return text.endsWith('beats') ? (n * 60_000) / bpm : n * 1000;
  }

  async function begin() {
    own = null;
    metronome.follow(counting());
    const from = get().at;
    const laid = cues();
    if (music) {
      const m = music;
      await m.play(from).catch(() => undefined);
      await player.play(laid.filter((c) => c.marked || c.waits === 'follow'), from, { position: m.position, end: m.length() });
      return;
    }
    await player.play(laid, from >= endOf(laid) ? 0 : from);
  }

  return {
    cues,
    stop,
    live,

    open() {
      store.update({ panel: 'rehearse' });
      void load();
    },
    close() {
      stop();
      live();
      store.update({ panel: null });
    },

    /** To be called with each state of the daemon. @param {Live | null} before @param {Live} now */
    heard(before, now) {
      metronome.follow(counting());
      // What the set does comes before what somebody looks at.
      if (before && (now.look !== before.look || now.fade && !before.fade || now.killed !== before.killed || now.worklight !== before.worklight)) live();
      if (get().playing && (now.killed || now.worklight || !now.dry)) stop();
      if (store.get().panel === 'rehearse') void load();
      if (before && before.location !== now.location) {
        stop();
        music?.close();
        music = null;
        update({ at: 0, music: null, timeline: null });
      }
    },

    /** Looks at a time of the sheet. @param {number} ms */
    scrub(ms) {
      if (get().playing) stop();
      const laid = cues();
      const at = Math.max(0, ms);
      const there = moment(laid, at);
      if (!there) return;
      if (!get().blind) world.blind(true);
      update({ at, blind: true });
      world.look(there.cue, there.at);
    },

    /** Plays from where the line is; a second press stops. */
    play() {
      if (get().playing) return stop();
      if (!store.get().live?.dry) return update({ why: 'dry' });
      live();
      update({ playing: true, why: '' });
      const { countIn } = get();
      if (countIn === '') return void begin();
      const total = lengthOf(countIn);
      const beats = countIn.endsWith('beats');
      own = { due: world.now() + total, total, beat: beats ? total / Number.parseFloat(countIn) : 1000, beats };
      metronome.follow(counting());
      counted = world.setTimer(begin, total);
      return undefined;
    },

    /** A tap of the beat. */
    tap() {
      const now = world.now();
      if (taps.length && now - taps[taps.length - 1] > TAP_PAUSE) taps = [];
      taps = [...taps, now].slice(-TAPS.most);
      update({ taps: taps.length });
      if (taps.length >= TAPS.least) void world.send({ verb: 'tempo', taps: taps.map((t) => Math.round((t - taps[0]) * 100) / 100) });
    },

    /** @param {number} by beats a minute */
    faster(by) {
      const bpm = store.get().live?.tempo?.bpm ?? 120;
      void world.act({ verb: 'tempo', bpm: Math.min(400, Math.max(20, Math.round(bpm + by))) });
    },

    /** The next way of counting in. */
    countIn() {
      world.wake();
      const can = COUNTS.filter((c) => !c.endsWith('beats') || store.get().live?.tempo);
      update({ countIn: can[(can.indexOf(get().countIn) + 1) % can.length] });
    },
    sound() {
      world.wake();
      update({ sound: !get().sound });
    },

    /** @param {File | undefined} file */
    take(file) {
      if (!file) return;
      stop();
      music?.close();
      music = world.music(file);
      update({ music: { name: music.name, marks: music.marks() }, at: 0 });
    },
    noMusic() {
      stop();
      music?.close();
      music = null;
      update({ music: null, at: 0 });
    },
    /** Marks the next cue without a mark where the music is. */
    mark() {
      const m = get().music;
      const next = cues().find((c) => c.waits !== 'follow' && !c.marked);
      if (!music || !m || !next) return;
      const marks = { ...m.marks, [next.cue]: Math.round(get().playing ? music.position() : get().at) };
      music.keep(marks);
      update({ music: { ...m, marks } });
    },
    unmark() {
      const m = get().music;
      if (!music || !m) return;
      music.keep({});
      update({ music: { ...m, marks: {} } });
    },
  };
}

/** @typedef {ReturnType<typeof createRehearsal>} Rehearsal */

/** @returns {RehearsalState} */
export function noRehearsal() {
  return { timeline: null, at: 0, blind: false, playing: false, taps: 0, countIn: '', sound: true, beat: null, music: null, why: '' };
}
