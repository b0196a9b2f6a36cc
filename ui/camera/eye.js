// Which camera draws: WebGL 2 where a device has it in hardware, else the
// page's own processor. A context that is lost, as a phone takes it from a page
// in its pocket, is opened anew with the next place; if it is lost again the
// processor draws.

/** @import {LightMap, Scene} from '../types' */
/** @import {Camera} from './style.js' */

import { PLAIN } from './style.js';

/** A small picture that takes longer than this in WebGL is drawn in software, ms. */
const SLOW_MS = 40;
/** Contexts that may be lost before WebGL is given up. */
const LOSSES = 2;

/**
 * Modules come with the first place, after the page itself.
 *
 * @typedef {(canvas: HTMLCanvasElement) => Camera | Promise<Camera>} Open
 *
 * @param {{canvas: () => HTMLCanvasElement, now: () => number, lost: () => void, gl?: Open,
 *   hand?: Open}} world lost is told that the place is to be loaded again
 */
export function createEye(world) {
  const gl = world.gl ?? (async (canvas) => (await import('./camera.js')).createCamera(canvas, { software: false }));
  const hand = world.hand ?? (async (canvas) => (await import('./hand-camera.js')).createHandCamera(canvas));
  let losses = 0;
  /** @type {Camera | null} */
  let camera = null;

  async function open() {
    const canvas = world.canvas();
    canvas.addEventListener('webglcontextlost', (e) => {
      e.preventDefault();
      if (camera?.canvas !== canvas) return; // it has been given up
      losses++;
      camera = null;
      world.lost();
    });
    try {
      if (losses < LOSSES) return await gl(canvas);
    } catch {
      // the processor can
    }
    return hand(world.canvas());
  }

  /** Milliseconds of a small picture, once programs are compiled. @param {Camera} c @param {Scene} scene */
  function trial(c, scene) {
    const dark = new Float32Array(3 * scene.lamps.length).fill(1);
    const draw = () => {
      void c.draw(0, dark, PLAIN);
      c.image(); // read back, so it is done
    };
    c.resize(160, 90);
    draw();
    const began = world.now();
    draw();
    return world.now() - began;
  }

  return {
    /** What draws now; of another place it may be another. */
    get camera() {
      return camera;
    },

    /** Takes a place with its light. Fails where nothing can draw. @param {Scene} scene @param {LightMap} map */
    async load(scene, map) {
      const first = !camera;
      camera ??= await open();
      camera.load(scene, map);
      if (!first || !camera.synchronous || trial(camera, scene) < SLOW_MS) return;
      camera.end();
      camera = await hand(world.canvas());
      camera.load(scene, map);
    },
  };
}

/** @typedef {ReturnType<typeof createEye>} Eye */
