// The picture of the set as a camera sees it, drawn with WebGL 2: the sum of
// the light maps of its cells, exposed and developed as `linkboy picture` does
// it.

/** @import {Scene} from '../types' */
/** @import {Air, Camera, Level, Style} from './style.js' */
/** @import {GL, Target} from './gl.js' */
/** @import {Haze, Room} from './frame.js' */

import { GREY, curveOf } from './curve.js';
import { createFrame } from './frame.js';
import { cover, createProgram, useTextures } from './gl.js';
import { createGlow } from './glow.js';
import { COVER, DEVELOP } from './shaders.js';
import { airOf, extinction } from './style.js';
import { ACROSS, createSum } from './sum.js';

/** @type {Level[]} */
const LEVELS = [{ share: 1, looks: 4 }, { share: 1, looks: 0 }, { share: 0.7, looks: 0 }, { share: 0.5, looks: 0 }];

/**
 * A camera that draws on a canvas. Throws where the device cannot.
 *
 * @param {HTMLCanvasElement} canvas
 * @param {{layers?: number, software?: boolean}} [limit] most layers of a texture, below what the device has; false: not where
 *   programs run in software
 * @returns {Camera}
 */
export function createCamera(canvas, limit = {}) {
  const gl = contextOf(canvas, limit.software ?? true);
  const format = sumFormat(gl);
  const layers = Math.min(limit.layers ?? Infinity, gl.getParameter(gl.MAX_ARRAY_TEXTURE_LAYERS));
  const develop = createProgram(gl, COVER, DEVELOP);
  const glow = createGlow(gl);
  /** @type {{scene: Scene, sum: ReturnType<typeof createSum>, frame: ReturnType<typeof createFrame>} | null} */
  let place = null;
  /** @type {(Air & {sum: ReturnType<typeof createSum>}) | null} */
  let air = null;
  /** @type {Room | null} */
  let room = null;

  /** @param {Room} r @param {number} setup @param {Float32Array} rgb @param {Style} style */
  function expose(r, setup, rgb, style) {
    if (!place) return null;
    const s = place.scene.setups[setup] ?? place.scene.setups[0];
    if (!s) return null;
    const gain = s.gain.map((g) => g / s.key_lux);
    place.frame.expose(r, s, place.sum.light(rgb, gain, place.frame.bands(s)), rgb, gain, hazeOf(setup, rgb, gain, style));
    return s;
  }

  /** @param {number} setup @param {Float32Array} rgb @param {number[]} gain @param {Style} style @returns {Haze | null} */
  function hazeOf(setup, rgb, gain, style) {
    const hazy = airOf(air, setup, style);
    if (!hazy) return null;
    const { nu, nv } = hazy.map.grids[0];
    const light = hazy.sum.light(rgb, gain, [[0, Math.ceil((nu * nv) / ACROSS)]]);
    return { extinction: extinction(style.haze), light, across: nu, down: nv };
  }

  function dropAir() {
    air?.sum.end();
    air = null;
  }

  /**
   * @param {Target} frame
   * @param {import('../types').SceneSetup} setup
   * @param {Style} style
   */
  function show(frame, setup, style) {
    const [soft, softer] = style.glow > 0 ? glow.of(frame) : [frame.texture, frame.texture];
    const curve = curveOf(setup.over);
    gl.useProgram(develop.program);
    useTextures(gl, develop, { uFrame: frame.texture, uSoft: soft, uSofter: softer });
    gl.uniform1f(develop.at('uGlow'), style.glow);
    gl.uniformMatrix3fv(develop.at('uMatrix'), true, setup.matrix.flat());
    gl.uniform1f(develop.at('uClip'), curve.clip);
    gl.uniform1f(develop.at('uScale'), curve.scale);
    gl.uniform1f(develop.at('uWhite'), curve.white);
    gl.uniform1f(develop.at('uOver'), setup.over);
    gl.uniform1i(develop.at('uBands'), style.bands ? 1 : 0);
    gl.uniform1f(develop.at('uMost'), style.most);
    cover(gl, { target: null, width: canvas.width, height: canvas.height });
  }

  /** What the canvas shows, rows from the top. */
  function pixels() {
    const { width, height } = canvas;
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    const bytes = new Uint8ClampedArray(width * height * 4);
    gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, bytes);
    const out = new ImageData(width, height);
    for (let y = 0; y < height; y++) out.data.set(bytes.subarray(4 * width * y, 4 * width * (y + 1)), 4 * width * (height - 1 - y));
    return out;
  }

  return {
    canvas,
    synchronous: true,
    levels: LEVELS,
    resize(width, height) {
      if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    },

    load(scene, map) {
      if (map.grids.length !== scene.surfaces.length || map.sources !== scene.lamps.length) {
        throw new Error('the light at hand is not of this place');
      }
      dropAir();
      place?.sum.end();
      place?.frame.end();
      room?.end();
      place = room = null;
      place = { scene, sum: createSum(gl, map, { format, layers }), frame: createFrame(gl, scene, map) };
    },

    takeAir(next) {
      dropAir();
      if (place && next.map.sources === place.scene.lamps.length) air = { ...next, sum: createSum(gl, next.map, { format, layers }) };
    },

    draw(setup, rgb, style, { looks = 4 } = {}) {
      if (!place || gl.isContextLost()) return;
      const { width, height } = canvas;
      if (room?.plain.width !== width || room.plain.height !== height || room.looks !== looks) {
        room?.end();
        room = place.frame.room(width, height, looks);
      }
      const s = expose(room, setup, rgb, style);
      if (s) show(room.plain, s, style);
    },

    read(x, y) {
      if (!room || gl.isContextLost()) return -Infinity;
      const { width, height, target } = room.plain;
      const v = new Float32Array(4);
      gl.bindFramebuffer(gl.FRAMEBUFFER, target);
      gl.readPixels(Math.min(width - 1, Math.floor(x * width)), Math.min(height - 1, Math.floor((1 - y) * height)), 1, 1, gl.RGBA, gl.FLOAT, v);
      return Math.log2(Math.max(v[0], v[1], v[2]) / GREY);
    },

    image: pixels,

    end() {
      dropAir();
      place?.sum.end();
      place?.frame.end();
      place = null;
      gl.getExtension('WEBGL_lose_context')?.loseContext();
    },
  };
}

/** @param {HTMLCanvasElement} canvas @param {boolean} software */
function contextOf(canvas, software) {
  const gl = canvas.getContext('webgl2', {
    alpha: false, antialias: false, depth: false, stencil: false, powerPreference: 'low-power', failIfMajorPerformanceCaveat: !software,
  });
  if (!gl) throw new Error('this browser has no WebGL 2');
  return gl;
}

/** What sums are kept in: 32 bits, or 16 where no more can be drawn into. @param {GL} gl */
function sumFormat(gl) {
  if (gl.getExtension('EXT_color_buffer_float')) return gl.RGBA32F;
  if (gl.getExtension('EXT_color_buffer_half_float')) return gl.RGBA16F;
  throw new Error('this device cannot draw into numbers');
}
