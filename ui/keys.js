// The keyboard: every action has a key, and a clicker is a keyboard with two, whose
// keys can be learnt.

/** @import {Store} from './state.js' */
/** @import {Verbs} from './verbs.js' */

import { learntAction } from './clicker.js';

/** One press of a ride key, as a share of the fade. */
const RIDE_STEP = 0.02;
const OVERALL_STEP = 0.05;

/**
 * @typedef {object} Kill
 * @property {() => void} press
 * @property {() => void} release
 *
 * @typedef {{key: string, code?: string, shiftKey: boolean, repeat: boolean, ctrlKey: boolean, altKey: boolean, metaKey: boolean}} Stroke
 */

/**
 * Handles a key going down. True when it meant something: the browser must
 * then do nothing of its own with it.
 *
 * @param {Stroke} stroke
 * @param {Store} store
 * @param {Verbs} verbs
 * @param {Kill} kill
 * @returns {boolean}
 */
export function keyDown(stroke, store, verbs, kill) {
  if (stroke.ctrlKey || stroke.altKey || stroke.metaKey) return false;
  const learnt = learntAction(store.get().clicker, stroke);
  if (learnt) {
    if (!stroke.repeat) ({ run: verbs.tap, back: verbs.back, take: verbs.take })[learnt]();
    return true;
  }
  const key = stroke.key.length === 1 ? stroke.key.toLowerCase() : stroke.key;
  const repeated = repeating(key, stroke.shiftKey, store, verbs);
  if (repeated) {
    repeated();
    return true;
  }
  const once = single(key, store, verbs, kill);
  if (!once) return false;
  if (!stroke.repeat) once();
  return true;
}

/**
 * Handles a key coming up.
 *
 * @param {{key: string}} stroke
 * @param {Kill} kill
 */
export function keyUp(stroke, kill) {
  if (stroke.key.toLowerCase() === 'k') kill.release();
}

/**
 * Actions that a key held down does again and again.
 *
 * @param {string} key
 * @param {boolean} shift
 * @param {Store} store
 * @param {Verbs} verbs
 * @returns {(() => void) | undefined}
 */
function repeating(key, shift, store, verbs) {
  const overall = store.get().live?.overall ?? 1;
  if (shift && key === 'ArrowUp') return () => verbs.riding.nudge(RIDE_STEP);
  if (shift && key === 'ArrowDown') return () => verbs.riding.nudge(-RIDE_STEP);
  if (key === '+' || key === '=') return () => verbs.overall(overall + OVERALL_STEP);
  if (key === '-') return () => verbs.overall(overall - OVERALL_STEP);
  return undefined;
}

/**
 * Actions that a press does once, however long it lasts.
 *
 * @param {string} key
 * @param {Store} store
 * @param {Verbs} verbs
 * @param {Kill} kill
 * @returns {(() => void) | undefined}
 */
function single(key, store, verbs, kill) {
  switch (key) {
    case ' ':
    case 'PageDown':
      return verbs.tap;
    case 'b':
    case 'PageUp':
      return verbs.back;
    case 'h':
      return verbs.hold;
    case 's':
      return verbs.snap;
    case 'w':
      return verbs.worklight;
    case 'k':
      return kill.press;
    case 'ArrowLeft':
    case 'ArrowUp':
      return () => verbs.step(-1);
    case 'ArrowRight':
    case 'ArrowDown':
      return () => verbs.step(1);
    case '[':
      return () => verbs.trim(-1);
    case ']':
      return () => verbs.trim(1);
    case 'r':
      return () => void verbs.take();
    case 'c':
      return verbs.countIn;
    case 't':
      return () => store.update({ place: store.get().place === 'takes' ? 'set' : 'takes', panel: null });
    case 'i':
      return () => store.update({ panel: store.get().panel === 'details' ? null : 'details' });
    case 'm':
      return () => store.update({ panel: store.get().panel === 'meter' ? null : 'meter' });
    case '?':
      return () => store.update({ panel: store.get().panel === 'keys' ? null : 'keys' });
    default:
      return undefined;
  }
}
