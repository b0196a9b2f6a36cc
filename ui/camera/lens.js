// Where a set-up's camera puts a point of the place: as colour/picture casts
// its rays, level and without distortion.

/** @import {SceneSetup} from '../types' */

/** Nearest that is drawn, m. */
const NEAR = 0.05;

/**
 * The matrix, columns first, from metres to clip coordinates (OpenGL ES 3.0,
 * 2.12), for pictures of an aspect, width over height.
 *
 * @param {SceneSetup} setup
 * @param {number} aspect
 * @param {number} far farthest that is drawn, m
 */
export function lensMatrix(setup, aspect, far) {
  const ahead = unit(sub(setup.look_at, setup.camera));
  let right = cross(ahead, [0, 0, 1]);
  if (Math.hypot(...right) < 1e-9) right = [1, 0, 0]; // straight up or down: the top of the picture is north
  right = unit(right);
  const down = cross(ahead, right);
  const half = setup.sensor_mm / (2 * setup.lens_mm);
  const rows = [right.map((v) => v / half), down.map((v) => (-v * aspect) / half), ahead.map((v) => (v * (far + NEAR)) / (far - NEAR)), ahead];
  const shift = [0, 0, (-2 * far * NEAR) / (far - NEAR), 0];
  const out = new Float32Array(16);
  rows.forEach((row, r) => {
    row.forEach((v, c) => (out[c * 4 + r] = v));
    out[12 + r] = shift[r] - dot(row, setup.camera);
  });
  return out;
}

/** @param {number[]} a @param {number[]} b */
const sub = (a, b) => a.map((v, i) => v - b[i]);
/** @param {number[]} a @param {number[]} b */
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
/** @param {number[]} a @param {number[]} b */
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
/** @param {number[]} a */
const unit = (a) => a.map((v) => v / Math.hypot(...a));
