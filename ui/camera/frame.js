// The camera values of a picture: surfaces and lamps as a set-up's camera
// meets them (picture.Shot.Expose), in linear light, 0.18 for a grey card.

/** @import {LightMap, Scene, SceneSetup} from '../types' */
/** @import {GL, Target} from './gl.js' */

/** @typedef {{plain: Target, many: WebGLFramebuffer, looks: number, end: () => void}} Room */
/** @typedef {{extinction: number, light: WebGLTexture, across: number, down: number}} Haze light of its blocks, under a key of 1 */

import { lightFaces } from './faces.js';
import { cover, createNumbers, createProgram, createTarget, dropTarget, useTextures } from './gl.js';
import { lensMatrix } from './lens.js';
import { KIND, kindOf, meshOf } from './mesh.js';
import { AIR, COVER, LAMP, PLACE, SURFACE } from './shaders.js';
import { ACROSS } from './sum.js';

/** Looks of a pixel, as picture.Shot takes. */
const SAMPLES = 4;
/** Faces side by side in their texture. */
const FACES_ACROSS = 64;

/**
 * @param {GL} gl
 * @param {Scene} scene
 * @param {LightMap} map
 */
export function createFrame(gl, scene, map) {
  const surface = createProgram(gl, PLACE, SURFACE);
  const lamp = createProgram(gl, PLACE, LAMP);
  const air = createProgram(gl, COVER, AIR);
  const surfaces = createNumbers(gl, 2, new Float32Array(scene.surfaces.flatMap((s, i) => {
    const g = map.grids[i];
    return [g.first, g.nu, g.nv, kindOf(s), ...s.finish, s.twin >= 0 ? 1 : 0];
  })));
  const lamps = createNumbers(gl, 2, new Float32Array(scene.lamps.flatMap((l) => {
    const b = scene.beams[l.beam];
    return [...l.facing, l.area, b?.peak ?? 0, b?.power ?? 0, b?.shape ?? 0, b ? 1 : 0];
  })));
  const faces = new Float32Array(FACES_ACROSS * Math.max(1, Math.ceil(scene.lamps.length / FACES_ACROSS)) * 4);
  const faceTexture = createNumbers(gl, FACES_ACROSS, faces);
  const place = buffers(gl, meshOf(scene.surfaces));
  const bodies = buffers(gl, meshOf(scene.lamps, (k) => scene.lamps[k].of < 0));
  const far = reach(scene);
  const samples = Math.min(SAMPLES, gl.getInternalformatParameter(gl.RENDERBUFFER, gl.RGBA16F, gl.SAMPLES)?.[0] ?? 0);

  /** Adds what haze gives. @param {Target} to @param {Haze} haze */
  function addAir(to, { light, across, down }) {
    gl.useProgram(air.program);
    useTextures(gl, air, { uSum: light });
    gl.uniform2i(air.at('uBlocks'), across, down);
    gl.uniform2f(air.at('uSize'), to.width, to.height);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE);
    cover(gl, to);
    gl.disable(gl.BLEND);
  }

  return {
    /**
     * The rows of the light's texture that a set-up can see something of: what faces
     * away from it needs no light.
     *
     * @param {SceneSetup} setup
     */
    bands: (setup) => bandsOf(scene, map, setup),

    /** Room for pictures of a size. @param {number} width @param {number} height @param {number} looks of a pixel @returns {Room} */
    room(width, height, looks) {
      const plain = createTarget(gl, gl.RGBA16F, width, height);
      const many = gl.createFramebuffer();
      gl.bindFramebuffer(gl.FRAMEBUFFER, many);
      const stores = [/** @type {const} */ ([gl.RGBA16F, gl.COLOR_ATTACHMENT0]), /** @type {const} */ ([gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT])].map(([format, at]) => {
        const store = gl.createRenderbuffer();
        gl.bindRenderbuffer(gl.RENDERBUFFER, store);
        gl.renderbufferStorageMultisample(gl.RENDERBUFFER, Math.min(looks, samples), format, width, height);
        gl.framebufferRenderbuffer(gl.FRAMEBUFFER, at, gl.RENDERBUFFER, store);
        return store;
      });
      if (gl.checkFramebufferStatus(gl.FRAMEBUFFER) !== gl.FRAMEBUFFER_COMPLETE && !gl.isContextLost()) throw new Error('this device cannot draw the picture');
      return {
        plain,
        many,
        looks,
        end() {
          dropTarget(gl, plain);
          gl.deleteFramebuffer(many);
          for (const s of stores) gl.deleteRenderbuffer(s);
        },
      };
    },

    /**
     * Draws into the room what a set-up sees.
     *
     * @param {Room} room
     * @param {SceneSetup} setup
     * @param {WebGLTexture} light on the texels, under a key of 1
     * @param {Float32Array} rgb of each cell
     * @param {number[]} gain of each channel
     * @param {Haze | null} haze
     */
    expose(room, setup, light, rgb, gain, haze) {
      lightFaces(scene, setup, rgb, gain, faces, 4, 0);
      gl.bindTexture(gl.TEXTURE_2D, faceTexture);
      gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, FACES_ACROSS, faces.length / 4 / FACES_ACROSS, gl.RGBA, gl.FLOAT, faces);
      const { width, height } = room.plain;
      const lens = lensMatrix(setup, width / height, far);
      gl.bindFramebuffer(gl.FRAMEBUFFER, room.many);
      gl.viewport(0, 0, width, height);
      gl.enable(gl.DEPTH_TEST);
      gl.clearColor(0, 0, 0, 1);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.useProgram(surface.program);
      gl.uniformMatrix4fv(surface.at('uLens'), false, lens);
      gl.uniform3fv(surface.at('uEye'), setup.camera);
      gl.uniform1f(surface.at('uExtinction'), haze?.extinction ?? 0);
      useTextures(gl, surface, { uSum: light, uSurfaces: surfaces });
      place.draw();
      gl.useProgram(lamp.program);
      gl.uniformMatrix4fv(lamp.at('uLens'), false, lens);
      gl.uniform3fv(lamp.at('uEye'), setup.camera);
      gl.uniform1f(lamp.at('uExtinction'), haze?.extinction ?? 0);
      useTextures(gl, lamp, { uLamps: lamps, uFaces: faceTexture });
      bodies.draw();
      gl.disable(gl.DEPTH_TEST);
      gl.bindFramebuffer(gl.READ_FRAMEBUFFER, room.many);
      gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, room.plain.target);
      gl.blitFramebuffer(0, 0, width, height, 0, 0, width, height, gl.COLOR_BUFFER_BIT, gl.NEAREST);
      if (haze) addAir(room.plain, haze);
    },

    end() {
      for (const t of [surfaces, lamps, faceTexture]) gl.deleteTexture(t);
      for (const p of [surface, lamp, air]) gl.deleteProgram(p.program);
      place.end();
      bodies.end();
    },
  };
}

/** @param {Scene} scene @param {LightMap} map @param {SceneSetup} setup @returns {Array<[number, number]>} */
function bandsOf(scene, map, setup) {
  /** @type {Array<[number, number]>} */
  const bands = [];
  scene.surfaces.forEach((s, i) => {
    if (kindOf(s) === KIND.flat && !faces(s, setup.camera)) return;
    const { first, nu, nv } = map.grids[i];
    const low = Math.floor(first / ACROSS);
    const high = Math.floor((first + nu * nv - 1) / ACROSS) + 1;
    const before = bands.at(-1);
    if (before && low <= before[1]) before[1] = high;
    else bands.push([low, high]);
  });
  return bands;
}

/** Whether a flat surface faces a point. @param {import('../types').SceneShape} s @param {number[]} p */
function faces({ at, u, v }, p) {
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  return n[0] * (p[0] - at[0]) + n[1] * (p[1] - at[1]) + n[2] * (p[2] - at[2]) > 0;
}

/** A mesh on the device. @param {GL} gl @param {import('./mesh.js').Mesh} mesh */
function buffers(gl, mesh) {
  const array = gl.createVertexArray();
  gl.bindVertexArray(array);
  const corners = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, corners);
  gl.bufferData(gl.ARRAY_BUFFER, mesh.corners, gl.STATIC_DRAW);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 24, 0);
  gl.enableVertexAttribArray(1);
  gl.vertexAttribPointer(1, 3, gl.FLOAT, false, 24, 12);
  const owners = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, owners);
  gl.bufferData(gl.ARRAY_BUFFER, mesh.owners, gl.STATIC_DRAW);
  gl.enableVertexAttribArray(2);
  gl.vertexAttribPointer(2, 1, gl.FLOAT, false, 4, 0);
  const faces = gl.createBuffer();
  gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, faces);
  gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, mesh.faces, gl.STATIC_DRAW);
  gl.bindVertexArray(null);
  return {
    draw() {
      gl.bindVertexArray(array);
      gl.drawElements(gl.TRIANGLES, mesh.faces.length, gl.UNSIGNED_INT, 0);
      gl.bindVertexArray(null);
    },
    end() {
      gl.deleteVertexArray(array);
      for (const b of [corners, owners, faces]) gl.deleteBuffer(b);
    },
  };
}

/** How far anything is from any camera at most, m. @param {Scene} scene */
function reach(scene) {
  let most = 1;
  for (const s of [...scene.surfaces, ...scene.lamps]) {
    const size = Math.hypot(...s.u) + Math.hypot(...s.v) + Math.hypot(...(s.w ?? [0]));
    for (const { camera } of scene.setups) most = Math.max(most, Math.hypot(...s.at.map((v, i) => v - camera[i])) + size);
  }
  return most * 1.01;
}
