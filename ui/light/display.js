// From light to what a screen shows: CIE XYZ to linear sRGB as the camera is
// balanced, into the screen's gamut, through exposure, to bytes.
//
// Sources: ITU-R BT.709-6 primaries and white (the same as IEC 61966-2-1);
// Bradford adaptation as in the ICC specification, annex E; sRGB transfer
// curve IEC 61966-2-1.

/** @import {XYZ} from '../types' */

/** @typedef {[number, number, number]} RGB linear light, 1 = the screen's full */
/** @typedef {[number, number, number, number, number, number, number, number, number]} Matrix rows first */

/** XYZ with Y = 1 at white D65 (x 0.3127, y 0.3290) to linear sRGB. @type {Matrix} */
const XYZ_TO_SRGB = [
  3.2409699419, -1.5373831776, -0.4986107603,
  -0.9692436363, 1.8759675015, 0.0415550574,
  0.0556300797, -0.2039769589, 1.0569715142,
];

/** Luminance of linear sRGB. @type {RGB} */
export const LUMA = [0.2126390059, 0.7151686788, 0.0721923154];

/** @type {Matrix} */
const BRADFORD = [
  0.8951, 0.2664, -0.1614,
  -0.7502, 1.7135, 0.0367,
  0.0389, -0.0685, 1.0296,
];

/** @type {Matrix} */
const BRADFORD_BACK = inverse(BRADFORD);

const D65_XY = /** @type {[number, number]} */ ([0.3127, 0.329]);

/**
 * The matrix from XYZ to linear sRGB for a camera balanced to a white: that
 * white comes out neutral, Y kept for neutrals.
 *
 * @param {[number, number]} balance chromaticity x, y of the camera's white
 * @returns {Matrix}
 */
export function displayMatrix(balance) {
  const from = times(BRADFORD, whiteOf(balance));
  const to = times(BRADFORD, whiteOf(D65_XY));
  /** @type {Matrix} */
  const gains = [to[0] / from[0], 0, 0, 0, to[1] / from[1], 0, 0, 0, to[2] / from[2]];
  return product(XYZ_TO_SRGB, product(BRADFORD_BACK, product(gains, BRADFORD)));
}

/**
 * @param {Matrix} m
 * @param {number} x
 * @param {number} y
 * @param {number} z
 * @param {RGB} out unclamped linear sRGB
 */
export function toLinear(m, x, y, z, out) {
  out[0] = m[0] * x + m[1] * y + m[2] * z;
  out[1] = m[3] * x + m[4] * y + m[5] * z;
  out[2] = m[6] * x + m[7] * y + m[8] * z;
}

/**
 * Brings a colour that no screen mix can show to the nearest one on the line
 * to white of the same luminance: no channel stays under 0. What is brighter
 * than the screen is left to `expose`.
 *
 * @param {RGB} rgb linear, changed in place
 */
export function intoGamut(rgb) {
  const least = Math.min(rgb[0], rgb[1], rgb[2]);
  if (least >= 0) return;
  const white = luminance(rgb);
  if (white <= 0) {
    rgb[0] = rgb[1] = rgb[2] = 0;
    return;
  }
  const keep = white / (white - least);
  for (let i = 0; i < 3; i++) rgb[i] = Math.max(0, white + (rgb[i] - white) * keep);
}

/** @param {RGB} rgb linear */
export function luminance(rgb) {
  return LUMA[0] * rgb[0] + LUMA[1] * rgb[1] + LUMA[2] * rgb[2];
}

/**
 * Exposure with a soft shoulder: straight in the dark, bending toward `most`
 * where the brightest channel would pass it, so hue stays; what is far over
 * pales a little, as it does in a picture.
 *
 * @param {RGB} rgb linear, all channels >= 0, changed in place
 * @param {number} gain
 * @param {number} [most] largest channel that comes out, 0..1
 */
export function expose(rgb, gain, most = 1) {
  const peak = Math.max(rgb[0], rgb[1], rgb[2]) * gain;
  if (peak <= 0) return;
  const top = shoulder(peak);
  const pale = Math.min(0.35, Math.max(0, (peak - 1.5) * 0.05));
  const scale = (top / peak) * gain;
  for (let i = 0; i < 3; i++) {
    const v = rgb[i] * scale;
    rgb[i] = (v + (top - v) * pale) * most;
  }
}

/** Straight to 0.5, then bending toward 1 with no corner. @param {number} v >= 0 */
function shoulder(v) {
  return v <= 0.5 ? v : 1 - 0.25 / v;
}

/**
 * The sRGB code value 0..1 of a linear channel.
 *
 * @param {number} v linear 0..1
 */
export function encode(v) {
  if (v <= 0) return 0;
  if (v >= 1) return 1;
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

/** Linear light 0..1 in 4096 steps to bytes, for whole pictures. */
const BYTES = Uint8ClampedArray.from({ length: 4097 }, (_, i) => Math.round(255 * encode(i / 4096)));

/** @param {number} v linear */
export function toByte(v) {
  return BYTES[v <= 0 ? 0 : v >= 1 ? 4096 : (v * 4096 + 0.5) | 0];
}

/**
 * @param {RGB} rgb linear 0..1
 * @param {number} [alpha]
 */
export function cssColour(rgb, alpha = 1) {
  return `rgba(${toByte(rgb[0])},${toByte(rgb[1])},${toByte(rgb[2])},${alpha})`;
}

/**
 * A colour as a swatch that never shines: its chromaticity alone, with the
 * brightest channel at `most` and no more luminance than `mostLuminance`.
 *
 * @param {Matrix} m
 * @param {XYZ} xyz of any brightness
 * @param {number} [most]
 * @param {number} [mostLuminance]
 * @returns {RGB} linear
 */
export function swatch(m, xyz, most = 0.5, mostLuminance = 0.2) {
  /** @type {RGB} */
  const rgb = [0, 0, 0];
  toLinear(m, xyz[0], xyz[1], xyz[2], rgb);
  intoGamut(rgb);
  const peak = Math.max(rgb[0], rgb[1], rgb[2]);
  if (peak <= 0) return rgb;
  const scale = Math.min(most / peak, mostLuminance / luminance(rgb));
  return [rgb[0] * scale, rgb[1] * scale, rgb[2] * scale];
}

/** @param {[number, number]} xy @returns {RGB} */
function whiteOf([x, y]) {
  return [x / y, 1, (1 - x - y) / y];
}

/** @param {Matrix} m @param {RGB} v @returns {RGB} */
function times(m, v) {
  return [
    m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
    m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
    m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
  ];
}

/** @param {Matrix} a @param {Matrix} b @returns {Matrix} */
function product(a, b) {
  /** @type {number[]} */
  const out = [];
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      out.push(a[r * 3] * b[c] + a[r * 3 + 1] * b[3 + c] + a[r * 3 + 2] * b[6 + c]);
    }
  }
  return /** @type {Matrix} */ (out);
}

/** @param {Matrix} m @returns {Matrix} */
function inverse([a, b, c, d, e, f, g, h, i]) {
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  /** @type {Matrix} */
  const adjugate = [
    e * i - f * h, c * h - b * i, b * f - c * e,
    f * g - d * i, a * i - c * g, c * d - a * f,
    d * h - e * g, b * g - a * h, a * e - b * d,
  ];
  return /** @type {Matrix} */ (adjugate.map((v) => v / det));
}
