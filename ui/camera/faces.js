// What the camera sees of the faces of lamps.

/** @import {Scene, SceneSetup} from '../types' */

/**
 * Puts the light of each lamp's face: its own, and what it gives at other spreads, as if at
 * its own.
 *
 * @param {Scene} scene
 * @param {SceneSetup} setup
 * @param {Float32Array} rgb of each lamp
 * @param {number[]} gain of each channel
 * @param {Float32Array} into red, green, blue of each
 * @param {number} step from one lamp to the next
 * @param {number} first where the first lamp is
 */
export function lightFaces(scene, setup, rgb, gain, into, step, first) {
  const at = scene.setups.indexOf(setup);
  for (let k = 0; k < scene.lamps.length; k++) {
    const { of, pass } = scene.lamps[k];
    const share = (of < 0 ? 1 : glare(scene, k, setup.camera) / glare(scene, of, setup.camera)) * (pass?.[at] ?? 1);
    for (let c = 0; c < 3; c++) {
      const v = (rgb[3 * k + c] ?? 0) * gain[c];
      if (of < 0) into[first + step * k + c] = v * share;
      else if (v > 0 && share > 0) into[first + step * of + c] += v * share;
    }
  }
}

/**
 * Candela of a lumen from the middle of a lamp's face towards a point, or a little where
 * there would be none (transport.Source).
 *
 * @param {Scene} scene
 * @param {number} k
 * @param {number[]} to
 */
function glare(scene, k, to) {
  const l = scene.lamps[k];
  const { peak, power, shape } = scene.beams[l.beam];
  const d = to.map((v, i) => v - l.at[i] - (l.u[i] + l.v[i]) / 2);
  const cos = d.reduce((sum, v, i) => sum + v * l.facing[i], 0) / Math.hypot(...d);
  if (cos <= 0) return 0;
  return Math.max(peak * 2 ** -((power * Math.log2(1 / Math.min(cos, 1))) ** shape), 1e-30);
}
