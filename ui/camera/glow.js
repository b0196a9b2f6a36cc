// Glow, as a mist filter spreads light: two blurs of the frame, a fiftieth and
// a tenth of the width wide (picture.Glow). An impression, and no filter's measure.

/** @import {GL, Target} from './gl.js' */

import { cover, createProgram, createTarget, dropTarget, useTextures } from './gl.js';
import { BLUR, COVER, SHRINK } from './shaders.js';

/** Width that blurs are made at, pixels. */
const WIDTH = 192;
/** Sigmas as shares of the width. */
const SIGMAS = [1 / 100, 1 / 20];

/** @param {GL} gl */
export function createGlow(gl) {
  const shrink = createProgram(gl, COVER, SHRINK);
  const blur = createProgram(gl, COVER, BLUR);
  /** Small frame, half a blur, and a blur for each sigma. @type {Target[]} */
  let room = [];

  /** @param {Target} from @param {Target} to @param {[number, number]} way @param {number} sigma */
  function pass(from, to, way, sigma) {
    gl.useProgram(blur.program);
    useTextures(gl, blur, { uFrame: from.texture });
    gl.uniform2f(blur.at('uWay'), ...way);
    gl.uniform1f(blur.at('uSigma'), sigma);
    cover(gl, to);
  }

  return {
    /** @param {Target} frame @returns {WebGLTexture[]} the blurs */
    of(frame) {
      const width = Math.min(WIDTH, frame.width);
      const height = Math.max(1, Math.round((width * frame.height) / frame.width));
      if (room[0]?.width !== width || room[0].height !== height) {
        for (const t of room) dropTarget(gl, t);
        room = Array.from({ length: 2 + SIGMAS.length }, () => createTarget(gl, gl.RGBA16F, width, height, true));
      }
      const [small, half, ...blurs] = room;
      gl.useProgram(shrink.program);
      useTextures(gl, shrink, { uFrame: frame.texture });
      gl.uniform2i(shrink.at('uSize'), width, height);
      cover(gl, small);
      SIGMAS.forEach((sigma, i) => {
        pass(small, half, [1 / width, 0], sigma * width);
        pass(half, blurs[i], [0, 1 / height], sigma * width);
      });
      return blurs.map((t) => t.texture);
    },
  };
}
