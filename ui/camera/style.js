// What a camera is to those who ask it for pictures, and how they are shown.

/** @import {LightMap, Scene} from '../types' */

/**
 * How a picture is shown.
 *
 * @typedef {object} Style
 * @property {boolean} bands stops over and under grey as bands
 * @property {number} glow share of light that a mist filter spreads, 0..1
 * @property {number} haze share of light that haze takes on 10 m of its way, 0 to under 1; drawn once its air is there
 * @property {number} most brightest that it shines, linear light, 0..1
 */

/**
 * What haze gives the picture of a set-up (picture.Air).
 *
 * @typedef {object} Air
 * @property {number} setup index of the set-up
 * @property {number} haze as a style says
 * @property {LightMap} map of the blocks of the picture: camera values for a lumen under a key of 1 lx
 */

/**
 * What draws a place as its cameras see it. What is promised comes once it is drawn.
 *
 * @typedef {object} Camera
 * @property {HTMLCanvasElement} canvas
 * @property {boolean} [synchronous] draws at once and promises nothing
 * @property {Level[]} levels ways to draw, at its best first, each quicker than the one before
 * @property {(scene: Scene, map: LightMap) => void} load takes a place with its light
 * @property {(air: Air) => void} takeAir takes the air of pictures in haze, for the place that is loaded
 * @property {(width: number, height: number) => void} resize the canvas, with the next picture
 * @property {(setup: number, rgb: Float32Array, style: Style, how?: {looks?: number, thin?: number}) => void | Promise<boolean>} draw on the canvas;
 *   false when a newer picture has been drawn in its place
 * @property {(x: number, y: number) => number | Promise<number>} read stops over grey of the hottest channel at a point of what was
 *   drawn last, 0..1 from the left and the top
 * @property {() => ImageData} image what was drawn last; of WebGL in the same turn
 * @property {() => void} end
 *
 * @typedef {{share: number, looks?: number, thin?: number}} Level share of the full width, looks of a pixel, and of how many pixels one is drawn
 */

/** @type {Style} */
export const PLAIN = { bands: false, glow: 0, haze: 0, most: 1 };

/** An air that is that of a picture; else null. @template {Air} T @param {T | null} air @param {number} setup @param {Style} style @returns {T | null} */
export const airOf = (air, setup, style) => (style.haze > 0 && air?.setup === setup && air.haze === style.haze ? air : null);

/** What a metre of haze takes of light, as exp(-x) says (picture.Extinction). @param {number} haze as a style says */
export const extinction = (haze) => -Math.log1p(-haze) / 10;
