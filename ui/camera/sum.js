// The light of a moment on every texel: the sum of what each cell does to it,
// as much as that cell gives now (transport.Map.Sum).

/** @import {LightMap} from '../types' */
/** @import {GL} from './gl.js' */

import { cover, createProgram, createTarget, createTexture, dropTarget, useTextures } from './gl.js';
import { isHidden } from './map.js';
import { COVER, sum as sumShader } from './shaders.js';

/** Most groups of four sources that one draw adds: 256·3·16 bytes fit into any uniform block. */
const GROUPS = 256;
/** Texels side by side in the textures. */
export const ACROSS = 128;

/**
 * @param {GL} gl
 * @param {LightMap} map
 * @param {{format: number, layers: number}} device format of sums, and the most layers of a texture
 */
export function createSum(gl, map, { format, layers }) {
  const { channels, sources } = map;
  const rows = Math.max(1, Math.ceil(map.texels / ACROSS));
  const groups = Math.max(1, Math.ceil(sources / 4));
  const size = gl.getParameter(gl.MAX_TEXTURE_SIZE);
  if (rows > size) throw new Error('this place has more light than this device can hold');
  const program = createProgram(gl, COVER, sumShader(channels, GROUPS));
  const shown = shownTexels(gl, map, rows);
  const parts = partsOf(gl, map, rows, groups, Math.min(GROUPS, Math.floor(layers / channels)));
  const cells = new Float32Array(Math.max(groups, GROUPS) * 12);
  const cellBuffer = gl.createBuffer();
  gl.bindBuffer(gl.UNIFORM_BUFFER, cellBuffer);
  gl.bufferData(gl.UNIFORM_BUFFER, GROUPS * 48, gl.DYNAMIC_DRAW);
  gl.uniformBlockBinding(program.program, gl.getUniformBlockIndex(program.program, 'Cells'), 0);
  const targets = [createTarget(gl, format, ACROSS, rows), createTarget(gl, format, ACROSS, rows)];

  return {
    /**
     * Sums for cells that give so much.
     *
     * @param {Float32Array} rgb red, green, blue of each
     * @param {number[]} gain of each channel
     * @param {Array<[number, number]>} bands rows that are asked for, from and to
     * @returns {WebGLTexture} the light on the texels; alpha is 0 where they are hidden
     */
    light(rgb, gain, bands) {
      for (let k = 0; k < sources; k++) {
        for (let c = 0; c < 3; c++) {
          cells[(3 * (k >> 2) + c) * 4 + (k & 3)] = (rgb[3 * k + c] ?? 0) * gain[c] * map.tops[k];
        }
      }
      gl.bindBufferBase(gl.UNIFORM_BUFFER, 0, cellBuffer);
      gl.useProgram(program.program);
      let from = targets[1];
      let to = targets[0];
      for (const part of parts) {
        useTextures(gl, program, { uCodes: part.texture, uBefore: from.texture, uShown: shown });
        gl.bufferSubData(gl.UNIFORM_BUFFER, 0, cells, part.first * 12, part.groups * 12);
        gl.uniform1i(program.at('uMore'), part.first > 0 ? 1 : 0);
        gl.uniform1i(program.at('uGroups'), part.groups);
        gl.enable(gl.SCISSOR_TEST);
        for (const [low, high] of bands) {
          gl.scissor(0, low, ACROSS, high - low);
          cover(gl, to);
        }
        gl.disable(gl.SCISSOR_TEST);
        [from, to] = [to, from];
      }
      return from.texture;
    },

    end() {
      for (const part of parts) gl.deleteTexture(part.texture);
      gl.deleteTexture(shown);
      gl.deleteBuffer(cellBuffer);
      for (const t of targets) dropTarget(gl, t);
      gl.deleteProgram(program.program);
    },
  };
}

/** A texture with 1 where a texel is not hidden. @param {GL} gl @param {LightMap} map @param {number} rows */
function shownTexels(gl, map, rows) {
  const data = new Uint8Array(ACROSS * rows);
  for (let t = 0; t < map.texels; t++) data[t] = isHidden(map, t) ? 0 : 255;
  const texture = createTexture(gl);
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.R8, ACROSS, rows, 0, gl.RED, gl.UNSIGNED_BYTE, data);
  return texture;
}

/**
 * The codes, four sources a layer, in as many textures as it takes.
 *
 * @param {GL} gl
 * @param {LightMap} map
 * @param {number} rows
 * @param {number} groups
 * @param {number} most groups in a texture
 */
function partsOf(gl, map, rows, groups, most) {
  /** @type {Array<{texture: WebGLTexture, first: number, groups: number}>} */
  const parts = [];
  const layer = new Uint8Array(ACROSS * rows * 4);
  for (let first = 0; first < groups; first += most) {
    const n = Math.min(most, groups - first);
    const texture = createTexture(gl, gl.TEXTURE_2D_ARRAY);
    gl.texStorage3D(gl.TEXTURE_2D_ARRAY, 1, gl.RGBA8, ACROSS, rows, n * map.channels);
    for (let g = 0; g < n; g++) {
      for (let c = 0; c < map.channels; c++) {
        layer.fill(0);
        for (let k = 0; k < 4; k++) {
          const source = 4 * (first + g) + k;
          if (source >= map.sources) continue;
          const codes = map.codes[c * map.sources + source];
          for (let t = 0; t < codes.length; t++) layer[4 * t + k] = codes[t];
        }
        gl.texSubImage3D(gl.TEXTURE_2D_ARRAY, 0, 0, 0, g * map.channels + c, ACROSS, rows, 1, gl.RGBA, gl.UNSIGNED_BYTE, layer);
      }
    }
    parts.push({ texture, first, groups: n });
  }
  return parts;
}
