// The curtain behind the pad: one thread of colour for every cell of the rig,
// in the order of the plan. The coming look rises from below as its fade
// goes; at rest it waits at the hem. Dim enough that the words on it read.

/** @import {Plan} from '../types' */
/** @import {RGB} from '../light/display.js' */

import { cellColours } from '../light/drawing.js';
import { displayMatrix, luminance, toByte } from '../light/display.js';

/**
 * A thread's brightest channel and its luminance, linear: text of contrast 7.5
 * on black keeps 4.5 on it (WCAG 2.2, 1.4.3).
 */
export const MOST_CHANNEL = 0.16;
export const MOST_LUMINANCE = 0.026;
/** How much of the pad the curtain covers at rest. */
const HEM = 0.16;

/**
 * The threads of a look.
 *
 * @param {Plan} plan
 * @param {Float32Array} xyz X Y Z of each cell
 * @returns {Uint8ClampedArray<ArrayBuffer>} r g b a of each cell
 */
export function threads(plan, xyz) {
  const rgb = cellColours(plan, displayMatrix(plan.balance), 1)(xyz);
  const out = new Uint8ClampedArray((rgb.length / 3) * 4);
  for (let i = 0, o = 0; i < rgb.length; i += 3, o += 4) {
    const dim = dimmed([rgb[i], rgb[i + 1], rgb[i + 2]]);
    out[o] = toByte(dim[0]);
    out[o + 1] = toByte(dim[1]);
    out[o + 2] = toByte(dim[2]);
    out[o + 3] = 255;
  }
  return out;
}

/** @param {RGB} rgb @returns {RGB} */
function dimmed(rgb) {
  const peak = Math.max(...rgb);
  if (peak <= 0) return [0, 0, 0];
  const scale = Math.min(MOST_CHANNEL, (MOST_LUMINANCE / luminance(rgb)) * peak) * Math.sqrt(peak) / peak;
  return [rgb[0] * scale, rgb[1] * scale, rgb[2] * scale];
}

/**
 * @typedef {object} Scene
 * @property {Uint8ClampedArray<ArrayBuffer> | null} below the look that comes
 * @property {Uint8ClampedArray<ArrayBuffer> | null} above the look that goes; null leaves the pad black
 * @property {number | null} rise 0..1 while a fade is there, null at rest
 * @property {string} edge colour of the curtain's edge
 */

/**
 * @param {HTMLCanvasElement} canvas
 * @param {Scene} scene
 */
export function drawCurtain(canvas, scene) {
  const dpr = Math.min(2, devicePixelRatio || 1);
  const w = Math.round(canvas.clientWidth * dpr);
  const h = Math.round(canvas.clientHeight * dpr);
  if (w === 0 || h === 0) return;
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
  }
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { alpha: false }));
  g.fillStyle = '#000';
  g.fillRect(0, 0, w, h);
  const share = scene.rise ?? HEM;
  const edge = Math.round(h * (1 - share));
  if (scene.above && scene.rise !== null) hang(g, scene.above, 0, edge, w);
  if (scene.below) {
    hang(g, scene.below, edge, h, w);
    if (scene.rise === null) fadeOut(g, edge, h, w);
  }
  if (scene.rise === null) return;
  g.fillStyle = scene.edge;
  g.fillRect(0, Math.min(h - 2 * dpr, Math.max(0, edge - dpr)), w, 2 * dpr);
}

/**
 * @param {CanvasRenderingContext2D} g
 * @param {Uint8ClampedArray<ArrayBuffer>} row
 * @param {number} top
 * @param {number} bottom
 * @param {number} width
 */
function hang(g, row, top, bottom, width) {
  const n = row.length / 4;
  if (n === 0 || bottom <= top) return;
  const strip = document.createElement('canvas');
  strip.width = n;
  strip.height = 1;
  strip.getContext('2d')?.putImageData(new ImageData(row, n, 1), 0, 0);
  g.imageSmoothingEnabled = false;
  g.drawImage(strip, 0, 0, n, 1, 0, top, width, bottom - top);
}

/** At rest the hem dies away upward. @param {CanvasRenderingContext2D} g @param {number} top @param {number} bottom @param {number} width */
function fadeOut(g, top, bottom, width) {
  const shade = g.createLinearGradient(0, top, 0, bottom);
  shade.addColorStop(0, 'rgba(0,0,0,1)');
  shade.addColorStop(1, 'rgba(0,0,0,0)');
  g.fillStyle = shade;
  g.fillRect(0, top, width, bottom - top);
}
