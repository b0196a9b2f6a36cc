// How a lamp stands: where, and which way it looks from above. Moving and turning
// it as edits of the show's files. Pure.

/** @import {Edit, PlanLamp, Point} from '../types' */

/** A lamp that stands steeper than this has no direction from above: the horizontal part of its unit vector. */
const LEAST_FLAT = 0.1;
/** A lamp that is dragged stands on whole tens of centimetres, and turns by whole fives of degrees. */
const STEP_M = 0.1;
const STEP_DEG = 5;

/** @param {number} v metres to the millimetre */
const metres = (v) => String(Number(v.toFixed(3)));

/** A point as show files write it. @param {Point} p */
export function pointText(p) {
  return `[${p.map(metres).join(', ')}]`;
}

/** @param {number} v */
export function onStep(v) {
  return Number((Math.round(v / STEP_M) * STEP_M).toFixed(3));
}

/**
 * What tells where a lamp looks: its aim, or how its cells run. Null where
 * neither can be turned from above.
 *
 * @param {Pick<PlanLamp, 'class' | 'place' | 'along' | 'aim'>} lamp
 * @returns {{by: 'aim' | 'along', degrees: number} | null} counter-clockwise from the x axis
 */
export function turnOf(lamp) {
  const { place, aim, along } = lamp;
  if (aim && lamp.class !== 'tube') {
    const d = Math.hypot(aim[0] - place[0], aim[1] - place[1]);
    return d < 0.01 ? null : { by: 'aim', degrees: degreesOf(aim[0] - place[0], aim[1] - place[1]) };
  }
  if (!along) return null;
  const length = Math.hypot(...along);
  if (length === 0 || Math.hypot(along[0], along[1]) / length < LEAST_FLAT) return null;
  return { by: 'along', degrees: degreesOf(along[0], along[1]) };
}

/** @param {number} x @param {number} y 0..360 */
function degreesOf(x, y) {
  const d = (Math.atan2(y, x) * 180) / Math.PI;
  return Number(((d + 360) % 360).toFixed(1));
}

/** Degrees of a direction on the plan, on whole steps. @param {number} x @param {number} y */
export function turnStep(x, y) {
  return (Math.round(degreesOf(x, y) / STEP_DEG) * STEP_DEG) % 360;
}

/**
 * The same lamp turned; its aim keeps its distance and height, its cells their tilt.
 *
 * @template {Pick<PlanLamp, 'class' | 'place' | 'along' | 'aim'>} L
 * @param {L} lamp
 * @param {number} degrees
 * @returns {L}
 */
export function turned(lamp, degrees) {
  const turn = turnOf(lamp);
  const a = (degrees * Math.PI) / 180;
  if (turn?.by === 'aim' && lamp.aim) {
    const d = Math.hypot(lamp.aim[0] - lamp.place[0], lamp.aim[1] - lamp.place[1]);
    return { ...lamp, aim: /** @type {Point} */ ([lamp.place[0] + d * Math.cos(a), lamp.place[1] + d * Math.sin(a), lamp.aim[2]]) };
  }
  if (turn?.by === 'along' && lamp.along) {
    const d = Math.hypot(lamp.along[0], lamp.along[1]);
    return { ...lamp, along: /** @type {Point} */ ([d * Math.cos(a), d * Math.sin(a), lamp.along[2]]) };
  }
  return lamp;
}

/** Whether a lamp has an end that could be the wrong one. @param {Pick<PlanLamp, 'along' | 'cells'>} lamp */
export function hasEnds(lamp) {
  return Boolean(lamp.along && Math.hypot(...lamp.along) > 0 && (lamp.cells?.length ?? 0) > 1);
}

/** @param {string} location @param {string} name @param {Record<string, string>} fields @returns {Edit} */
export function lampEdit(location, name, fields) {
  return { do: 'change', what: 'lamp', location, name, fields };
}

/** Cell 1 at the other end. @param {Pick<PlanLamp, 'along'>} lamp @returns {Record<string, string>} */
export function flipped({ along }) {
  const back = (along ?? [0, 0, 0]).map((v) => (v === 0 ? 0 : -v));
  return { along: pointText(/** @type {Point} */ (back)) };
}

/** The fields of a turn. @param {Pick<PlanLamp, 'class' | 'place' | 'along' | 'aim'>} lamp as it is to be @returns {Record<string, string>} */
export function turnFields(lamp) {
  const turn = turnOf(lamp);
  if (turn?.by === 'aim' && lamp.aim) return { aim: pointText(lamp.aim) };
  if (turn?.by === 'along' && lamp.along) return { along: pointText(lamp.along) };
  return {};
}
