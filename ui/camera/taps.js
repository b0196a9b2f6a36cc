// Where a look reads the light: of a surface between the middles of the texels
// around (transport.Map.Tap), of a lamp its face (transport.Source.Glare).

/** @import {LightMap, Scene, SceneSetup} from '../types' */
/** @import {Raster} from './raster.js' */
/** @import {Looks} from './sight.js' */

import { isHidden } from './map.js';
import { KIND, kindOf } from './mesh.js';

/** Added to the number of a lamp until it is known how many texels come before. */
const LAMPS = 2 ** 31;

/**
 * @param {Scene} scene
 * @param {LightMap} map
 * @param {SceneSetup} setup
 */
export function createTaps(scene, map, setup) {
  const kinds = scene.surfaces.map(kindOf);
  /** Place of each texel in the list of lights, and 1; 0 while it is not in it. */
  const places = new Uint32Array(map.texels);
  /** @type {number[]} */
  const texels = [];
  /** @type {number[]} */
  const finish = [];
  const on = [0, 0, 0];
  const shares = [0, 0, 0, 0];
  const around = [0, 0, 0, 0];

  /** Puts a texel into the list. @param {number} texel @param {number} surface */
  function place(texel, surface) {
    texels.push(texel);
    finish.push(...scene.surfaces[surface].finish);
    places[texel] = texels.length;
    return texels.length - 1;
  }

  /** @param {number} surface @param {Looks} into @param {number} at @param {number} share */
  function surfaceLook(surface, into, at, share) {
    const { first, nu, nv } = map.grids[surface];
    const kind = kinds[surface];
    const x = (kind === KIND.flat ? on[0] : turnOf(on)) * nu - 0.5;
    const y = (kind === KIND.flat ? on[1] : heightOf(kind, on)) * nv - 0.5;
    const i = Math.floor(x);
    const j = Math.floor(y);
    let total = 0;
    for (let k = 0; k < 4; k++) {
      const di = k & 1;
      const dj = k >> 1;
      const ti = kind === KIND.flat ? Math.min(Math.max(i + di, 0), nu - 1) : (i + di + nu) % nu;
      const t = first + Math.min(Math.max(j + dj, 0), nv - 1) * nu + ti;
      around[k] = t;
      shares[k] = isHidden(map, t) ? 0 : (di ? x - i : 1 - x + i) * (dj ? y - j : 1 - y + j);
      total += shares[k];
    }
    if (!(total > 0)) return;
    for (let k = 0; k < 4; k++) {
      if (shares[k] === 0) continue;
      const t = around[k];
      into.from[at + k] = places[t] ? places[t] - 1 : place(t, surface);
      into.share[at + k] = (share * shares[k]) / total;
    }
  }

  /** @param {number} lamp @param {Looks} into @param {number} at @param {number} share */
  function lampLook(lamp, into, at, share) {
    into.from[at] = LAMPS + lamp;
    into.share[at] = share * glare(scene, lamp, on, setup.camera);
  }

  return {
    /**
     * Keeps a look through a point of a pixel.
     *
     * @param {Raster} raster
     * @param {number} triangle
     * @param {number} px
     * @param {number} py
     * @param {number[]} within the pixel
     * @param {Looks} into
     * @param {number} look
     * @param {number} share
     */
    look(raster, triangle, px, py, within, into, look, share) {
      const owner = raster.owners[triangle];
      if (owner < 0) return;
      raster.at(triangle, px + within[0], py + within[1], on);
      if (owner < kinds.length) surfaceLook(owner, into, 4 * look, share);
      else lampLook(owner - kinds.length, into, 4 * look, share);
    },

    /** The texels that looks have met. */
    seen: () => ({ texels: Uint32Array.from(texels), finish: Float32Array.from(finish) }),

    /** Puts lamps after the texels. @param {Uint32Array} from */
    afterTexels(from) {
      for (let i = 0; i < from.length; i++) if (from[i] >= LAMPS) from[i] += texels.length - LAMPS;
    },
  };
}

/** u of a place on something round, as its mesh keeps it. @param {number[]} on */
function turnOf(on) {
  const turn = Math.atan2(on[1], on[0]) / (2 * Math.PI);
  return turn < 0 ? turn + 1 : turn;
}

/** v of it. @param {number} kind @param {number[]} on */
function heightOf(kind, on) {
  const z = kind === KIND.tube ? on[2] : (on[2] / Math.hypot(...on) + 1) / 2;
  return Math.min(Math.max(z, 0), 1);
}

/** What the face of a lamp gives for a lumen, seen from an eye, as a matt white would. @param {Scene} scene @param {number} lamp @param {number[]} at @param {number[]} eye */
function glare(scene, lamp, at, eye) {
  const { area, facing, beam } = scene.lamps[lamp];
  const b = scene.beams[beam];
  if (!b) return 1 / area; // pi times a luminance of 1/(pi area)
  const d = eye.map((v, i) => v - at[i]);
  const cos = (d[0] * facing[0] + d[1] * facing[1] + d[2] * facing[2]) / Math.hypot(...d);
  if (cos <= 0) return 0;
  const x = cos >= 1 || b.power === 0 ? 0 : -Math.log2(cos) * b.power;
  return (Math.PI * b.peak * 2 ** -(x ** b.shape)) / (area * cos);
}
