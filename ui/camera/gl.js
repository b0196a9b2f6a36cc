// What WebGL 2 needs said, once.

/** @typedef {WebGL2RenderingContext} GL */
/** @typedef {{texture: WebGLTexture, target: WebGLFramebuffer, width: number, height: number}} Target */

/**
 * A program of a vertex and a fragment shader. Its uniforms are set by name.
 *
 * @param {GL} gl
 * @param {string} vertex
 * @param {string} fragment
 */
export function createProgram(gl, vertex, fragment) {
  const program = gl.createProgram();
  for (const [kind, source] of /** @type {Array<[number, string]>} */ ([[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]])) {
    const shader = /** @type {WebGLShader} */ (gl.createShader(kind));
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
    gl.deleteShader(shader);
  }
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost()) {
    const logs = (gl.getAttachedShaders(program) ?? []).map((s) => gl.getShaderInfoLog(s));
    throw new Error(`a program of the picture does not run here: ${logs.join(' ')} ${gl.getProgramInfoLog(program)}`);
  }
  /** @type {Map<string, WebGLUniformLocation | null>} */
  const places = new Map();
  return {
    program,
    /** @param {string} name */
    at(name) {
      if (!places.has(name)) places.set(name, gl.getUniformLocation(program, name));
      return places.get(name) ?? null;
    },
  };
}

/** @typedef {ReturnType<typeof createProgram>} Program */

/**
 * A texture that is read by texels unless `smooth`.
 *
 * @param {GL} gl
 * @param {number} [target]
 * @param {boolean} [smooth]
 */
export function createTexture(gl, target = gl.TEXTURE_2D, smooth = false) {
  const texture = gl.createTexture();
  gl.bindTexture(target, texture);
  const filter = smooth ? gl.LINEAR : gl.NEAREST;
  const wrap = smooth ? gl.MIRRORED_REPEAT : gl.CLAMP_TO_EDGE;
  gl.texParameteri(target, gl.TEXTURE_MIN_FILTER, filter);
  gl.texParameteri(target, gl.TEXTURE_MAG_FILTER, filter);
  gl.texParameteri(target, gl.TEXTURE_WRAP_S, wrap);
  gl.texParameteri(target, gl.TEXTURE_WRAP_T, wrap);
  return texture;
}

/**
 * A texture of numbers, four a texel, rows first.
 *
 * @param {GL} gl
 * @param {number} width texels
 * @param {Float32Array} data
 */
export function createNumbers(gl, width, data) {
  const texture = createTexture(gl);
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, width, data.length / 4 / width, 0, gl.RGBA, gl.FLOAT, data);
  return texture;
}

/**
 * A texture to draw into.
 *
 * @param {GL} gl
 * @param {number} format
 * @param {number} width
 * @param {number} height
 * @param {boolean} [smooth]
 * @returns {Target}
 */
export function createTarget(gl, format, width, height, smooth = false) {
  const texture = createTexture(gl, gl.TEXTURE_2D, smooth);
  gl.texStorage2D(gl.TEXTURE_2D, 1, format, width, height);
  const target = gl.createFramebuffer();
  gl.bindFramebuffer(gl.FRAMEBUFFER, target);
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0);
  if (gl.checkFramebufferStatus(gl.FRAMEBUFFER) !== gl.FRAMEBUFFER_COMPLETE && !gl.isContextLost()) {
    throw new Error('this device cannot draw into numbers of this kind');
  }
  return { texture, target, width, height };
}

/** @param {GL} gl @param {Target} t */
export function dropTarget(gl, t) {
  gl.deleteFramebuffer(t.target);
  gl.deleteTexture(t.texture);
}

/**
 * Draws over a whole target; null is the canvas.
 *
 * @param {GL} gl
 * @param {Pick<Target, 'target' | 'width' | 'height'> | {target: null, width: number, height: number}} to
 */
export function cover(gl, to) {
  gl.bindFramebuffer(gl.FRAMEBUFFER, to.target);
  gl.viewport(0, 0, to.width, to.height);
  gl.drawArrays(gl.TRIANGLES, 0, 3);
}

/**
 * Gives textures to the samplers of a program in use.
 *
 * @param {GL} gl
 * @param {Program} program
 * @param {Record<string, WebGLTexture>} textures by the names of their samplers
 */
export function useTextures(gl, program, textures) {
  Object.entries(textures).forEach(([name, texture], unit) => {
    gl.activeTexture(gl.TEXTURE0 + unit);
    gl.bindTexture(name === 'uCodes' ? gl.TEXTURE_2D_ARRAY : gl.TEXTURE_2D, texture);
    gl.uniform1i(program.at(name), unit);
  });
}
