// A reading as people say it on set: stops, ratios, where something is.

/** @import {MeterLamp, MeterReport, PlanSetup} from '../types' */

import { decimal, inFeet, words } from '../format.js';

/** The names of whole T-stops from 0.7 on, as engraved (ISO 517). */
const STOPS = ['0.7', '1', '1.4', '2', '2.8', '4', '5.6', '8', '11', '16', '22', '32', '45', '64'];

/**
 * A T-stop as an incident meter shows it: the whole stop under it, and tenths
 * over that. An aperture of √2 ^ n lets through half the light for each n.
 *
 * @param {number} stop
 * @returns {{whole: string, tenths: number}} whole is '' for one that no lens has
 */
export function tStop(stop) {
  const at = Math.round(20 * Math.log2(stop)); // in tenths of a stop over T1
  const whole = Math.floor(at / 10);
  const name = STOPS[whole + 1];
  if (!name) return { whole: '', tenths: 0 };
  return { whole: name, tenths: at - 10 * whole };
}

/**
 * A number to so many figures, in full: 1460, not 1.46e+3.
 *
 * @param {number} v
 * @param {number} [n]
 */
export function figures(v, n = 3) {
  if (!v) return '0';
  const round = Number(v.toPrecision(n));
  return decimal(round, Math.min(6, Math.max(0, n - 1 - Math.floor(Math.log10(Math.abs(round))))));
}

/** Lux of a foot-candle: a lumen on a square foot (NIST SP 811). */
const FOOT_CANDLE = 10.763910416709722;

/**
 * Lux, and foot-candles where people count in feet.
 *
 * @param {number} lux
 * @param {string} [locale]
 */
export function luxText(lux, locale) {
  const text = `${figures(lux)} lx`;
  return inFeet(locale) ? `${text}, ${figures(lux / FOOT_CANDLE)} fc` : text;
}

/** A time of exposure, "1/48 s". @param {number} deg @param {number} fps */
export function shutterTime(deg, fps) {
  const s = deg / 360 / fps;
  return s >= 0.4 ? `${figures(s, 2)} s` : `1/${Number((1 / s).toPrecision(3))} s`;
}

/**
 * What a set-up changes of looks, in a line; '' for nothing.
 *
 * @param {PlanSetup} setup
 * @param {number} groups how many the location has
 */
export function changes(setup, groups) {
  const parts = (setup.trims ?? []).map((t) => `${words(t.group)} ${t.stops < 0 ? '−' : '+'}${Math.abs(t.stops)} stops`);
  for (const [a, b] of setup.swaps ?? []) parts.push(`${words(a)} and ${words(b)} change places`);
  const mirrors = setup.mirrors ?? [];
  if (mirrors.length) parts.push(mirrors.length === groups ? 'order mirrored' : `${mirrors.map(words).join(', ')} mirrored`);
  return parts.join('; ');
}

/**
 * @typedef {object} Clipping
 * @property {string} names
 * @property {number} by stops over where the camera clips
 * @property {string} hottest
 * @property {number} keep share of the level now at which they keep their colour
 */

/**
 * The lamps that go white in shot, the worst first; those that read alike
 * stand together.
 *
 * @param {MeterReport} report
 * @returns {Clipping[]}
 */
export function clipping(report) {
  const limit = report.camera.stops_over_grey_to_clip;
  /** @type {Map<string, {lamps: MeterLamp[], by: number}>} */
  const alike = new Map();
  for (const lamp of report.lamps) {
    if (!lamp.clips) continue;
    const by = lamp.stops_over_grey - limit;
    const key = `${by.toFixed(1)} ${lamp.hottest}`;
    const at = alike.get(key) ?? { lamps: [], by };
    at.lamps.push(lamp);
    alike.set(key, at);
  }
  return [...alike.values()]
    .sort((a, b) => b.by - a.by)
    .map(({ lamps, by }) => ({
      names: together(lamps.map((l) => l.id)), by, hottest: lamps[0].hottest, keep: Math.min(...lamps.map((l) => l.keep_colour_level)),
    }));
}

/**
 * Names in a line, those of one stem together: "lane 1, 2, 5; moon".
 *
 * @param {string[]} ids
 */
export function together(ids) {
  /** @type {Map<string, string[]>} */
  const stems = new Map();
  for (const id of ids) {
    const [, stem, number] = /^(.*?)(?:[-_ ](\d+))?$/.exec(id) ?? ['', id];
    stems.set(stem, [...(stems.get(stem) ?? []), ...(number ? [number] : [])]);
  }
  return [...stems].map(([stem, numbers]) => `${words(stem)} ${numbers.join(', ')}`.trim()).join('; ');
}
