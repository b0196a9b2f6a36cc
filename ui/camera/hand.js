// The picture of the set as a camera sees it, drawn by the page's own processor:
// for devices that have no WebGL 2, or play it in software, where programs over
// textures are many times slower than loops over what the camera sees.

/** @import {LightMap, Scene} from '../types' */
/** @import {Air, Style} from './style.js' */
/** @import {Sight} from './sight.js' */

import { createAdder } from './adder.js';
import { createAir } from './air.js';
import { GREY } from './curve.js';
import { createDeveloper } from './developer.js';
import { spread } from './mist.js';
import { createSights, thinned } from './sight.js';
import { airOf, extinction } from './style.js';

/**
 * @typedef {object} View what is kept of a set-up at a size
 * @property {string} key
 * @property {Sight[]} sights whole, and thinned to every second pixel and so on, as they are asked for
 * @property {ReturnType<typeof createAdder>} adder
 */

/**
 * @typedef {object} How
 * @property {number} thin one of how many pixels each way is drawn
 * @property {{width: number, height: number}} of pixels of the whole picture
 */

/** @param {Scene} scene @param {LightMap} map */
export function createHand(scene, map) {
  if (map.grids.length !== scene.surfaces.length || map.sources !== scene.lamps.length) {
    throw new Error('the light at hand is not of this place');
  }
  const sights = createSights(scene, map);
  /** Of the newest picture. @type {View | null} */
  let view = null;
  /** @type {(Air & {adds: ReturnType<typeof createAir>}) | null} */
  let air = null;
  /** @type {{key: string, develop: ReturnType<typeof createDeveloper>} | null} */
  let developer = null;
  /** Red, green, blue of each pixel, 0.18 for a grey card. */
  let frame = new Float32Array(0);
  let last = { width: 0, height: 0 };

  /** @param {number} setup @param {number} width @param {number} height @param {number} haze */
  function viewOf(setup, width, height, haze) {
    const key = `${setup} ${width} ${height} ${haze}`;
    if (view?.key !== key) {
      view = null; // both would need much memory
      const sight = sights.of(scene.setups[setup], width, height, extinction(haze));
      view = { key, sights: [sight], adder: createAdder(scene, scene.setups[setup], map, sight) };
    }
    return view;
  }

  return {
    /** Takes the air of pictures in haze. @param {Air} next */
    takeAir(next) {
      air = next.map.sources === scene.lamps.length ? { ...next, adds: createAir(next.map) } : null;
    },

    /**
     * Draws into pixels, four bytes each.
     *
     * @param {number} setup index of the set-up
     * @param {Float32Array} rgb what each cell gives the camera, red, green, blue
     * @param {Style} style
     * @param {{width: number, height: number, data: Uint8ClampedArray}} into
     * @param {How} [how]
     */
    draw(setup, rgb, style, { width, height, data }, { thin, of } = { thin: 1, of: { width, height } }) {
      const at = scene.setups[setup] ? setup : 0;
      const s = scene.setups[at];
      if (!s) return;
      const hazy = airOf(air, at, style);
      const seen = viewOf(at, of.width, of.height, hazy?.haze ?? 0);
      const sight = (seen.sights[thin - 1] ??= thinned(seen.sights[0], thin));
      const gain = s.gain.map((g) => g / s.key_lux);
      if (frame.length !== 3 * width * height) frame = new Float32Array(3 * width * height);
      expose(sight, seen.adder.lights(rgb, gain), frame);
      hazy?.adds.addTo(frame, width, height, rgb, gain);
      if (style.glow > 0) spread(frame, width, height, style.glow);
      const key = `${at} ${style.bands} ${style.most}`;
      if (developer?.key !== key) developer = { key, develop: createDeveloper(s, style) };
      developer.develop(frame, data);
      last = { width, height };
    },

    /** Stops over grey of the hottest channel at a point, 0..1, of what was drawn last. @param {number} x @param {number} y */
    read(x, y) {
      const { width, height } = last;
      if (!width) return -Infinity;
      const at = 3 * (Math.min(height - 1, Math.floor(y * height)) * width + Math.min(width - 1, Math.floor(x * width)));
      return Math.log2(Math.max(...frame.subarray(at, at + 3)) / GREY);
    },
  };
}

/** Camera values of each pixel. @param {Sight} sight @param {Float32Array} lights @param {Float32Array} frame */
function expose({ plain, mixed, looks }, lights, frame) {
  exposePlain(plain.from, plain.share, lights, frame);
  for (let i = 0; i < mixed.length; i++) {
    const o = 3 * mixed[i];
    for (let k = 16 * i; k < 16 * i + 16; k++) {
      const l = 3 * looks.from[k];
      const w = looks.share[k];
      frame[o] += w * lights[l];
      frame[o + 1] += w * lights[l + 1];
      frame[o + 2] += w * lights[l + 2];
    }
  }
}

/** @param {Uint32Array} from @param {Float32Array} share @param {Float32Array} lights @param {Float32Array} frame */
function exposePlain(from, share, lights, frame) {
  for (let i = 0, o = 0; i < from.length; i += 4, o += 3) {
    const a = 3 * from[i];
    const b = 3 * from[i + 1];
    const c = 3 * from[i + 2];
    const d = 3 * from[i + 3];
    const wa = share[i];
    const wb = share[i + 1];
    const wc = share[i + 2];
    const wd = share[i + 3];
    frame[o] = wa * lights[a] + wb * lights[b] + wc * lights[c] + wd * lights[d];
    frame[o + 1] = wa * lights[a + 1] + wb * lights[b + 1] + wc * lights[c + 1] + wd * lights[d + 1];
    frame[o + 2] = wa * lights[a + 2] + wb * lights[b + 2] + wc * lights[c + 2] + wd * lights[d + 2];
  }
}
