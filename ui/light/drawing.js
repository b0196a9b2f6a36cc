// The plan at night: the ground in the light that falls on it, outlines of
// what stands there, every cell glowing in its own colour. Draws on any 2D
// canvas, large for the picture and small for the strip.

/** @import {Plan} from '../types' */
/** @import {RGB, Matrix} from './display.js' */
/** @import {Ground} from './throw.js' */

import { boxOf, viewOf } from './box.js';
import { displayMatrix, expose, intoGamut, toByte, toLinear } from './display.js';
import { drawLamp, shapeOf } from './lamps.js';
import { drawOutlines, drawScale } from './outlines.js';
import { layGround, lightGround } from './throw.js';

/** Full white on a cell is this many times the screen's full: looks sit well under full. */
const SOURCE_GAIN = 4.5;
/** The same for the ground where it has its typical light. */
const GROUND_GAIN = 0.42;
/** The ground never outshines the lamps. */
const GROUND_MOST = 0.56;
/** Points of the grid across the picture, large and small. */
const COLS = 128;
const COLS_SMALL = 48;

/**
 * A drawing of one plan at one size.
 *
 * @typedef {object} Drawing
 * @property {(xyz: Float32Array) => void} light draws the place in this light: X Y Z of each cell
 */

/**
 * Prepares a drawing on a canvas. The costly part, how the lamps throw, is
 * done here once.
 *
 * @param {HTMLCanvasElement} canvas
 * @param {Plan} plan
 * @param {{width: number, height: number, dpr: number, small?: boolean, most?: number}} size
 *   css px; `small` leaves out names and scale; `most` caps what shines, 0..1 in linear light
 * @returns {Drawing}
 */
export function draw(canvas, plan, size) {
  const { width, height, dpr, small = false, most = 1 } = size;
  canvas.width = Math.round(width * dpr);
  canvas.height = Math.round(height * dpr);
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { alpha: false }));
  const box = boxOf(plan, width / height);
  const view = viewOf(box, width);
  const cols = small ? COLS_SMALL : COLS;
  const ground = layGround(plan, box, cols, Math.max(8, Math.round((cols * height) / width)));
  const glow = groundPicture(ground, displayMatrix(plan.balance), GROUND_MOST * most);
  const lit = cellColours(plan, displayMatrix(plan.balance), most);
  const lamps = (plan.lamps ?? []).map((lamp) => shapeOf(lamp, box, view));

  return {
    light(xyz) {
      const colours = lit(xyz);
      g.setTransform(dpr, 0, 0, dpr, 0, 0);
      g.imageSmoothingEnabled = true;
      g.imageSmoothingQuality = 'high';
      g.drawImage(glow(xyz), 0, 0, width, height);
      drawOutlines(g, plan, view, small);
      for (const lamp of lamps) drawLamp(g, lamp, colours, small);
      if (!small) drawScale(g, view);
    },
  };
}

/**
 * The light on the ground as a small picture, drawn anew at each call.
 *
 * @param {Ground} ground
 * @param {Matrix} m
 * @param {number} most
 * @returns {(xyz: Float32Array) => HTMLCanvasElement}
 */
function groundPicture(ground, m, most) {
  const canvas = document.createElement('canvas');
  canvas.width = ground.cols;
  canvas.height = ground.rows;
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  const image = g.createImageData(ground.cols, ground.rows);
  const sum = new Float32Array(ground.cols * ground.rows * 3);
  const gain = GROUND_GAIN / ground.typical;
  /** @type {RGB} */
  const rgb = [0, 0, 0];
  /** @type {Float32Array} */
  let cells = new Float32Array(0);

  return (xyz) => {
    if (cells.length !== xyz.length) cells = new Float32Array(xyz.length);
    for (let i = 0; i < xyz.length; i += 3) {
      toLinear(m, xyz[i], xyz[i + 1], xyz[i + 2], rgb);
      cells.set(rgb, i);
    }
    lightGround(ground, cells, sum);
    for (let k = 0, o = 0; k < sum.length; k += 3, o += 4) {
      rgb[0] = sum[k];
      rgb[1] = sum[k + 1];
      rgb[2] = sum[k + 2];
      intoGamut(rgb);
      expose(rgb, gain, most);
      image.data[o] = toByte(rgb[0]);
      image.data[o + 1] = toByte(rgb[1]);
      image.data[o + 2] = toByte(rgb[2]);
      image.data[o + 3] = 255;
    }
    g.putImageData(image, 0, 0);
    return canvas;
  };
}

/**
 * The colour that each cell's face shows, against the most that it can give:
 * linear sRGB, three a cell.
 *
 * @param {Plan} plan
 * @param {Matrix} m
 * @param {number} most
 * @returns {(xyz: Float32Array) => Float32Array}
 */
export function cellColours(plan, m, most) {
  /** @type {number[]} */
  const lumens = [];
  for (const lamp of plan.lamps ?? []) {
    (lamp.cells ?? []).forEach((cell, i) => (lumens[lamp.first_cell + i] = cell.most_lumens));
  }
  const out = new Float32Array(lumens.length * 3);
  /** @type {RGB} */
  const rgb = [0, 0, 0];
  return (xyz) => {
    for (let c = 0, i = 0; c < lumens.length; c++, i += 3) {
      toLinear(m, xyz[i] ?? 0, xyz[i + 1] ?? 0, xyz[i + 2] ?? 0, rgb);
      intoGamut(rgb);
      expose(rgb, lumens[c] > 0 ? SOURCE_GAIN / lumens[c] : 0, most);
      out.set(rgb, i);
    }
    return out;
  };
}
