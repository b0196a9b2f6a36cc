// The line to the daemon: one websocket, commands with ids and measured
// answers, silence told within a second, reconnection by itself. It knows no
// page; whatever it needs of the browser is handed in.

/** @import {CellsFrame, Command, LinkState, Live, MeterReport, Outcome, Push, Refusal, SeenFrame} from './types' */

import { parseSeenFrame } from './camera/seen.js';
import { parseCellsFrame } from './light/frame.js';
import { texts } from './texts.js';

/** Longest silence that still counts as a link, ms. The daemon speaks every 400 ms. */
export const SILENCE_MS = 900;
/**
 * Silence is counted in so many parts: a page that itself stood still, as phones do that have
 * much to draw, has one part go by at most and hears first what came meanwhile.
 */
const SILENCE_PARTS = 3;
/** A page that stood still for so long slept, and the socket most likely did not outlive it, ms. */
export const SLEPT_MS = 10_000;
/** Longest wait for a socket to open, ms. */
export const OPENING_MS = 2500;
/** First wait before another try, and the longest, ms; each try waits 1.6 times as long. */
export const RETRY_FIRST_MS = 200;
export const RETRY_MOST_MS = 3000;

/**
 * What the link needs of the world.
 *
 * @typedef {object} Surroundings
 * @property {string} url address of the socket
 * @property {(url: string) => SocketLike} open
 * @property {() => number} now monotonic ms
 * @property {(run: () => void, ms: number) => any} setTimer
 * @property {(timer: any) => void} clearTimer
 * @property {() => Promise<number>} probe HTTP status of the daemon, 0 when it cannot be reached
 *
 * @typedef {object} SocketLike
 * @property {string} binaryType
 * @property {(data: string) => void} send
 * @property {() => void} close
 * @property {((e?: any) => void) | null} onopen
 * @property {((e?: any) => void) | null} onclose
 * @property {((e?: any) => void) | null} onerror
 * @property {((e: any) => void) | null} onmessage
 *
 * @typedef {object} Listener
 * @property {(state: LinkState) => void} onLink
 * @property {(live: Live) => void} onState
 * @property {(role: import('./types').Role) => void} onRole as which this device is paired
 * @property {(revision: number) => void} onPlan
 * @property {(frame: CellsFrame) => void} onCells
 * @property {(frame: SeenFrame) => void} onSeen
 * @property {(report: MeterReport | null) => void} onMeter null while there is nothing to read
 */

export class Link {
  /** @type {Surroundings} */ #world;
  /** @type {Listener} */ #listener;
  /** @type {SocketLike | null} */ #socket = null;
  /** @type {LinkState} */ #state = { phase: 'opening', ms: null };
  /** @type {Map<number, {at: number, settle: (o: Outcome) => void}>} */ #unanswered = new Map();
  /** @type {any} */ #timer = null;
  #lastId = 0;
  #tries = 0;
  #ended = false;

  /**
   * Makes a link; `start` opens it.
   *
   * @param {Surroundings} world
   * @param {Listener} listener
   */
  constructor(world, listener) {
    this.#world = world;
    this.#listener = listener;
  }

  get state() {
    return this.#state;
  }

  start() {
    if (this.#socket || this.#ended) return;
    this.#connect();
  }

  /** Ends the link for good. Commands without an answer come back as lost. */
  end() {
    this.#ended = true;
    this.#world.clearTimer(this.#timer);
    this.#drop();
  }

  /** Tries again at once, for a page that has come back to the front. */
  hurry() {
    if (this.#ended || this.#socket) return;
    this.#world.clearTimer(this.#timer);
    this.#tries = 0;
    this.#connect();
  }

  /**
   * Sends a verb. Without a link it is refused here and now: a command is
   * never kept for later.
   *
   * @param {Command} command
   * @returns {Promise<Outcome>}
   */
  send(command) {
    const socket = this.#socket;
    if (!socket || this.#state.phase !== 'up') {
      return Promise.resolve({ ok: false, sent: false, refusal: notConnected(command.verb) });
    }
    const id = ++this.#lastId;
    return new Promise((settle) => {
      this.#unanswered.set(id, { at: this.#world.now(), settle });
      socket.send(JSON.stringify({ id, ...command }));
    });
  }

  #connect() {
    const socket = this.#world.open(this.#world.url);
    socket.binaryType = 'arraybuffer';
    this.#socket = socket;
    this.#wait(OPENING_MS);
    socket.onopen = () => this.#wait(SILENCE_MS);
    socket.onmessage = (event) => {
      if (this.#socket !== socket) return;
      this.#wait(SILENCE_MS);
      this.#receive(event.data);
    };
    socket.onerror = () => {};
    socket.onclose = () => {
      if (this.#socket === socket) this.#lose();
    };
  }

  /** @param {number} ms silence allowed from here on @param {number} [parts] that it is counted in */
  #wait(ms, parts = SILENCE_PARTS) {
    const part = ms / parts;
    const due = this.#world.now() + part;
    this.#world.clearTimer(this.#timer);
    this.#timer = this.#world.setTimer(() => {
      if (parts === 1 || this.#world.now() - due >= SLEPT_MS) this.#lose();
      else this.#wait(ms - part, parts - 1);
    }, part);
  }

  /** @param {string | ArrayBuffer} data */
  #receive(data) {
    if (typeof data !== 'string') {
      const frame = parseCellsFrame(data);
      const seen = frame ? null : parseSeenFrame(data);
      if (frame) this.#listener.onCells(frame);
      else if (seen) this.#listener.onSeen(seen);
      return;
    }
    /** @type {Push} */
    let push;
    try {
      push = JSON.parse(data);
    } catch {
      return; // a message that is none cannot be answered for; the next one counts
    }
    if (push.type === 'answer') this.#answer(push.id, push.error);
    else if (push.type === 'role') this.#listener.onRole(push.role);
    else if (push.type === 'meter') this.#listener.onMeter(push.meter);
    else if (push.type === 'plan') this.#listener.onPlan(push.revision);
    else if (push.type === 'state') {
      this.#tries = 0;
      if (this.#state.phase !== 'up') this.#tell({ phase: 'up', ms: null });
      this.#listener.onState(push.state);
    }
  }

  /**
   * @param {number} id
   * @param {Refusal | undefined} error
   */
  #answer(id, error) {
    const waiting = this.#unanswered.get(id);
    if (!waiting) return;
    this.#unanswered.delete(id);
    const ms = Math.max(0, this.#world.now() - waiting.at);
    this.#tell({ phase: this.#state.phase, ms });
    waiting.settle(error ? { ok: false, sent: true, refusal: error } : { ok: true, ms });
  }

  #lose() {
    this.#drop();
    if (this.#ended) return;
    const wait = Math.min(RETRY_MOST_MS, RETRY_FIRST_MS * 1.6 ** this.#tries);
    this.#tries++;
    this.#tell({ phase: 'lost', ms: null });
    this.#world.clearTimer(this.#timer);
    this.#timer = this.#world.setTimer(() => this.#retry(), wait);
  }

  /** A browser hides why a socket was turned away, so a plain request asks before each try. */
  async #retry() {
    const status = await this.#world.probe();
    if (this.#ended || this.#socket || this.#state.phase === 'pairing') return;
    if (status === 401) this.#tell({ phase: 'pairing', ms: null });
    else if (status === 0) this.#lose();
    else this.#connect();
  }

  #drop() {
    const socket = this.#socket;
    this.#socket = null;
    if (socket) {
      socket.onopen = socket.onmessage = socket.onclose = null;
      socket.close();
    }
    const lost = [...this.#unanswered.values()];
    this.#unanswered.clear();
    for (const { settle } of lost) settle({ ok: false, sent: true, refusal: noAnswer() });
  }

  /** @param {LinkState} state */
  #tell(state) {
    this.#state = state;
    this.#listener.onLink(state);
  }
}

/**
 * @param {string} verb
 * @returns {Refusal}
 */
function notConnected(verb) {
  return { code: 'not-connected', message: texts.link.notSent(verb), mend: texts.link.notSentMend };
}

/** @returns {Refusal} */
function noAnswer() {
  return { code: 'no-answer', message: texts.link.noAnswer, mend: texts.link.noAnswerMend };
}
