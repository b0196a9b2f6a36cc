// From camera values to the pixels of the screen, on the page's own processor
// (picture.Curve, picture.Band), by tables that are made once for a curve.

/** @import {Style} from './style.js' */

import { BEND, BEND_SCALE, GREY, curveOf } from './curve.js';

/** Bits of a number of 32 that tell it from others here: 8 behind its point, so 0.4 % a step. */
const SHIFT = 15;
const CODES = 1 << (31 - SHIFT);
/** Steps of how far a channel is below the strongest, up to twice the bend's limit. */
const BENDS = 8192;
const BEND_MOST = 2 * BEND.limit;

/** 1 less what colours are drawn in to; see colour/picture, compress.go. */
const KEPT = Float32Array.from({ length: BENDS + 1 }, (_, i) => {
  const x = ((i / BENDS) * BEND_MOST - BEND.from) / BEND_SCALE;
  if (x <= 0) return 1 - (i / BENDS) * BEND_MOST;
  return 1 - BEND.from - (BEND_SCALE * x) / (1 + x ** BEND.power) ** (1 / BEND.power);
});

const number = new Float32Array(1);
const bits = new Uint32Array(number.buffer);

/** Middle of the numbers of a code. @param {number} code */
function numberOf(code) {
  bits[0] = (code << SHIFT) + (code ? 1 << (SHIFT - 1) : 0);
  return number[0];
}

/** @param {number} v */
const encoded = (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * Math.min(v, 1) ** (1 / 2.4) - 0.055);
/** @param {number} v */
const decoded = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

/**
 * Makes pixels of frames.
 *
 * @param {import('../types').SceneSetup} setup
 * @param {Style} style
 */
export function createDeveloper(setup, style) {
  const { clip, scale, white } = curveOf(setup.over);
  const dimmed = (/** @type {number} */ code) => Math.round(255 * (style.most < 1 ? encoded(style.most * decoded(code)) : code));
  const shown = Uint8Array.from({ length: CODES }, (_, code) => {
    const x = scale * numberOf(code);
    return Number.isFinite(x) ? dimmed(encoded((x * (1 + x / (white * white))) / (1 + x))) : 255;
  });
  const m = setup.matrix.flat();

  /** @param {Float32Array} frame red, green, blue of each pixel @param {Uint8ClampedArray} into */
  function develop(frame, into) {
    const one = new Float32Array(3);
    const as = new Uint32Array(one.buffer);
    const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = m;
    for (let i = 0, o = 0; i < frame.length; i += 3, o += 4) {
      const r = Math.min(frame[i], clip);
      const g = Math.min(frame[i + 1], clip);
      const b = Math.min(frame[i + 2], clip);
      let x = m0 * r + m1 * g + m2 * b;
      let y = m3 * r + m4 * g + m5 * b;
      let z = m6 * r + m7 * g + m8 * b;
      const most = Math.max(x, y, z);
      const low = (1 - BEND.from) * most;
      if (x < low || y < low || z < low) {
        if (x < low) x = drawnIn(most, x);
        if (y < low) y = drawnIn(most, y);
        if (z < low) z = drawnIn(most, z);
      }
      one[0] = Math.max(x, 0);
      one[1] = Math.max(y, 0);
      one[2] = Math.max(z, 0);
      into[o] = shown[as[0] >>> SHIFT];
      into[o + 1] = shown[as[1] >>> SHIFT];
      into[o + 2] = shown[as[2] >>> SHIFT];
      into[o + 3] = 255;
    }
  }

  /** Stops as bands. @param {Float32Array} frame @param {Uint8ClampedArray} into */
  function bands(frame, into) {
    for (let i = 0, o = 0; i < frame.length; i += 3, o += 4) {
      const [r, g, b] = band(Math.max(frame[i], frame[i + 1], frame[i + 2]), setup.over);
      into[o] = dimmed(r / 255);
      into[o + 1] = dimmed(g / 255);
      into[o + 2] = dimmed(b / 255);
      into[o + 3] = 255;
    }
  }

  return style.bands ? bands : develop;
}

/** @param {number} most @param {number} v */
function drawnIn(most, v) {
  if (!(most > 0)) return v;
  return most * KEPT[Math.round(Math.min((most - v) / most / BEND_MOST, 1) * BENDS)];
}

/** @param {number} value @param {number} over @returns {number[]} codes 0..255 */
function band(value, over) {
  if (!(value > 0)) return [0, 0, 0];
  const stops = Math.log2(value / GREY);
  if (stops < -6.5) return [0, 0, 0];
  if (stops >= over) return [255, 255, 255];
  const n = Math.min(Math.floor(Math.abs(stops) + 0.5) * Math.sign(stops), 6);
  if (n < 0) return [24 * (1 + n / 7), 70 * (1 + n / 7), 110 * (1 + n / 7) + 50].map(Math.floor);
  if (n > 0) return [150 + (100 * n) / 6, 110 + (110 * n) / 6, 40 + (60 * n) / 6].map(Math.floor);
  return [118, 118, 118];
}
