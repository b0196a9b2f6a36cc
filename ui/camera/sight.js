// What the pixels of a picture look at: surfaces and lamps as a set-up's camera
// meets them, found once for a set-up and a size on the page's own processor,
// as picture.Shot finds them with rays.

/** @import {LightMap, Scene, SceneSetup} from '../types' */
/** @import {Mesh} from './mesh.js' */

import { lensMatrix } from './lens.js';
import { kindOf, KIND, meshOf } from './mesh.js';
import { createRaster } from './raster.js';
import { createTaps } from './taps.js';

/** Where in a pixel picture.Shot looks: a rotated grid. */
const LOOKS = [[0.375, 0.125], [0.875, 0.375], [0.125, 0.625], [0.625, 0.875]];
/** Of a pixel whose looks all meet one thing. */
const MIDDLE = [0.5, 0.5];

/**
 * The light that pixels get: of each look four places in a list of lights, and the share
 * of each.
 *
 * @typedef {object} Looks
 * @property {Uint32Array} from
 * @property {Float32Array} share
 *
 * @typedef {object} Sight
 * @property {number} width
 * @property {number} height
 * @property {Looks} plain one look for each pixel; of a mixed one, all shares are 0
 * @property {Uint32Array} mixed pixels whose looks meet different things
 * @property {Looks} looks four for each of those
 * @property {Uint32Array} texels that are seen, in the order of the list of lights
 * @property {Float32Array} finish red, green, blue of each of them; lamps come after them
 */

/**
 * @param {Scene} scene
 * @param {LightMap} map
 */
export function createSights(scene, map) {
  const surfaces = meshOf(scene.surfaces);
  const lamps = meshOf(scene.lamps, (k) => scene.lamps[k].of < 0);
  const far = 2 * Math.max(1, ...spread(surfaces), ...spread(lamps));
  const kinds = [...scene.surfaces.map(kindOf), ...scene.lamps.map(() => KIND.tube)];

  return {
    /**
     * @param {SceneSetup} setup
     * @param {number} width
     * @param {number} height
     * @param {number} extinction of the haze before the camera, for a metre
     * @returns {Sight}
     */
    of(setup, width, height, extinction) {
      const raster = createRaster(lensMatrix(setup, width / height, far), width, height);
      raster.add(surfaces, 0, 3, (owner) => scene.surfaces[owner].twin < 0);
      raster.add(lamps, scene.surfaces.length, 0, () => true);
      const met = LOOKS.map(([x, y]) => raster.looks(x, y));
      const half = setup.sensor_mm / (2 * setup.lens_mm);
      const across = (2 * half) / width; // of a pixel a metre ahead
      /** What comes through the haze. @param {number} t @param {number} x @param {number} y */
      const clear = (t, x, y) => Math.exp(-extinction * raster.ahead(t, x, y) * Math.hypot(1, across * x - half, across * (y - height / 2)));
      return sightOf(met, raster, kinds, createTaps(scene, map, setup), extinction ? clear : () => 1, width, height);
    },
  };
}

/**
 * @param {Int32Array[]} met triangle that each look of each pixel meets
 * @param {import('./raster.js').Raster} raster
 * @param {number[]} kinds of the owners of triangles
 * @param {ReturnType<typeof createTaps>} taps
 * @param {(triangle: number, x: number, y: number) => number} clear share of the light that comes to the camera
 * @param {number} width
 * @param {number} height
 * @returns {Sight}
 */
function sightOf(met, raster, kinds, taps, clear, width, height) {
  const [a, b, c, d] = met;
  const { owners } = raster;
  /** @type {number[]} */
  const mixed = [];
  const plain = room(width * height);
  /** @param {number} t @param {number} p @param {number[]} within @param {Looks} into @param {number} look @param {number} share */
  const look = (t, p, within, into, look, share) => {
    const [x, y] = [p % width, Math.floor(p / width)];
    taps.look(raster, t, x, y, within, into, look, share * clear(t, x + within[0], y + within[1]));
  };
  for (let p = 0; p < a.length; p++) {
    const owner = owners[a[p]];
    const one = owners[b[p]] === owner && owners[c[p]] === owner && owners[d[p]] === owner;
    const same = one && (owner < 0 || kinds[owner] === KIND.flat || (a[p] === b[p] && a[p] === c[p] && a[p] === d[p]));
    if (same) look(a[p], p, MIDDLE, plain, p, 1);
    else mixed.push(p);
  }
  const looks = room(4 * mixed.length);
  mixed.forEach((p, i) => met.forEach((m, k) => look(m[p], p, LOOKS[k], looks, 4 * i + k, 0.25)));
  const { texels, finish } = taps.seen();
  const list = { width, height, plain, mixed: Uint32Array.from(mixed), looks, texels, finish };
  for (const l of [plain, looks]) taps.afterTexels(l.from);
  return list;
}

/** @param {number} looks @returns {Looks} */
const room = (looks) => ({ from: new Uint32Array(4 * looks), share: new Float32Array(4 * looks) });

/**
 * What every nth pixel each way looks at: a smaller picture of the same sight, for less.
 *
 * @param {Sight} sight
 * @param {number} n
 * @returns {Sight}
 */
export function thinned(sight, n) {
  const width = Math.floor(sight.width / n);
  const height = Math.floor(sight.height / n);
  const plain = room(width * height);
  const rank = new Int32Array(sight.width * sight.height).fill(-1);
  sight.mixed.forEach((p, i) => (rank[p] = i));
  /** @type {number[]} */
  const mixed = [];
  /** @type {number[]} */
  const ranks = [];
  for (let q = 0; q < width * height; q++) {
    const p = (Math.floor(q / width) * n + (n >> 1)) * sight.width + (q % width) * n + (n >> 1);
    copy(sight.plain, p, plain, q, 1);
    if (rank[p] < 0) continue;
    mixed.push(q);
    ranks.push(rank[p]);
  }
  const looks = room(4 * mixed.length);
  ranks.forEach((r, i) => copy(sight.looks, 4 * r, looks, 4 * i, 4));
  return { ...sight, width, height, plain, mixed: Uint32Array.from(mixed), looks };
}

/** Copies looks. @param {Looks} from @param {number} at @param {Looks} to @param {number} into @param {number} looks */
function copy(from, at, to, into, looks) {
  for (let k = 0; k < 4 * looks; k++) {
    to.from[4 * into + k] = from.from[4 * at + k];
    to.share[4 * into + k] = from.share[4 * at + k];
  }
}

/** Distances of corners from the origin of the place. @param {Mesh} mesh */
function spread({ corners }) {
  let most = 0;
  for (let i = 0; i < corners.length; i += 6) most = Math.max(most, Math.hypot(corners[i], corners[i + 1], corners[i + 2]));
  return [most];
}
