// Takes in words: what happened, what became of lamps, how far light is apart.

/** @import {AsShot} from '../types' */
/** @import {Difference, Differs, Take, TakeEvent} from './types' */

import { texts } from '../texts.js';
import { percent, words } from '../format.js';
import { clockText } from '../hot/slate.js';

/** From here on a lamp was lit on one side only, stops. */
const ALL_OR_NOTHING = 20;

/**
 * What an event was, in a few words.
 *
 * @param {TakeEvent} e
 * @param {string} [where] the place before it
 */
export function eventWords(e, where = e.location) {
  const t = texts.takes.event;
  switch (e.kind) {
    case 'roll':
      return t.roll(e.look);
    case 'cue':
      return t.cue(e.cue, e.look, e.fade_ms);
    case 'settled':
      return t.settled(e.look);
    case 'hold':
      return t.held(e.progress);
    case 'ride':
      return t.ride(e.progress);
    case 'overall':
      return t.overall(e.overall);
    case 'location':
      return t.location(e.location || where);
    case 'dry run':
      return t.dry(e.dry);
    default:
      return t.plain[e.kind] ?? words(e.kind);
  }
}

/**
 * The time of an event from roll on, and its time code where one ran.
 *
 * @param {Take} take
 * @param {TakeEvent} e
 */
export function eventTimes(take, e) {
  return { after: tenths(Date.parse(e.at) - Date.parse(take.rolled)), code: e.timecode.in || e.timecode.day };
}

/** A time of a take to a tenth of a second: "0:03.4". @param {number} ms >= 0 */
export function tenths(ms) {
  return `${clockText(ms)}.${Math.floor((Math.max(0, ms) % 1000) / 100)}`;
}

/** @param {Take} take how long it ran, ms; null while it rolls */
export function ran(take) {
  return take.cut ? Date.parse(take.cut) - Date.parse(take.rolled) : null;
}

/** Day and time of day as the daemon's clock had them. @param {string} at RFC 3339 */
export function wall(at) {
  return { day: at.slice(0, 10), time: at.slice(11, 16) };
}

/**
 * How much brighter it is now.
 *
 * @param {number} stops now over then
 */
export function stopsWords(stops) {
  const d = texts.takes.differs;
  if (Math.abs(stops) < 0.05) return d.asBright;
  const by = Math.abs(stops).toFixed(1);
  return stops > 0 ? d.brighter(by) : d.darker(by);
}

/**
 * A lamp that differs, in words: what it does now, and which of its cells most.
 *
 * @param {Difference} d
 * @param {Differs} all
 */
export function differenceWords(d, all) {
  const say = texts.takes.differs;
  const alone = say.state[d.state];
  const apart = d.state === 'differs' && Math.abs(d.stops) < ALL_OR_NOTHING;
  const cell = apart && d.cell > 0 && (Math.abs(d.cell_stops - d.stops) >= 0.1 || d.cell_delta_uv - d.delta_uv >= 0.001);
  const cellLight = Math.abs(d.cell_stops) >= ALL_OR_NOTHING ? (d.cell_stops > 0 ? say.state.on : say.state.off) : stopsWords(d.cell_stops);
  return {
    light: apart ? stopsWords(d.stops) : alone,
    colour: apart ? say.colour(d.delta_uv, all.near_delta_uv) : '',
    cell: cell ? say.cell(d.cell, cellLight, say.colour(d.cell_delta_uv, all.near_delta_uv)) : '',
    other: d.other.length ? say.other(d.other) : '',
  };
}

/** @param {Differs} all those that count, the worst first, and how many are as they were */
export function sorted(all) {
  return { far: all.lamps.filter((l) => l.state !== 'near'), near: all.lamps.filter((l) => l.state === 'near').length };
}

/** What became of the lamps of a take that is on again. @param {AsShot} shot */
export function recalledWords({ lamps }) {
  const r = texts.takes.recalled;
  const names = (/** @type {Array<{rig: string, kit: string}>} */ list) => list.map((l) => words(l.rig || l.kit)).join(', ');
  return [
    r.same(lamps.same),
    ...lamps.solved.map((l) => r.solved(words(l.rig), l.was, stopsWords(l.stops), l.delta_uv)),
    lamps.missing.length && r.missing(names(lamps.missing)),
    lamps.spare.length && r.spare(names(lamps.spare)),
    lamps.lifted.length && r.lifted(names(lamps.lifted)),
  ].filter(Boolean);
}

/** @param {Take} take what it was shot with, in parts */
export function cameraWords({ camera: c, setup }) {
  const t = texts.takes.camera;
  return [
    setup && words(setup), c.lens_mm && `${round(c.lens_mm)} mm`, c.stop && `T${round(c.stop)}`, c.iso && `ISO ${c.iso}`,
    c.shutter_deg && `${round(c.shutter_deg)}°`, c.fps && t.fps(round(c.fps), round(c.timeline)), c.balance_k && `${c.balance_k} K`,
  ].filter(Boolean).join(', ');
}

/** @param {number} v */
function round(v) {
  return Math.round(v * 1000) / 1000;
}

/** @param {Take['readings'][number]} r */
export function readingWords(r) {
  return `${r.label || r.device}: ${r.name || r.kind} ${round(r.value)} ${r.unit}`.trim();
}

/** @param {TakeEvent} e how far it had come, where that says something */
export function overallWords(e) {
  return e.overall < 0.995 && e.kind !== 'overall' ? texts.takes.event.under(percent(e.overall)) : '';
}
