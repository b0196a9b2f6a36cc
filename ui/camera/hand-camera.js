// A camera whose pictures a worker draws by hand. Frames are never queued: while
// one is drawn only the newest of those that come waits.

/** @import {Camera, Style} from './style.js' */
/** @import {Answer} from './desk.js' */

import { createDesk } from './desk.js';

/** A moving picture has every pixel, every second, third or fourth each way: what they look at is found only once. */
const LEVELS = [1, 2, 3, 4].map((thin) => ({ share: 1, thin }));

/** @param {HTMLCanvasElement} canvas @returns {Camera} */
export function createHandCamera(canvas) {
  const context = canvas.getContext('2d', { alpha: false, willReadFrequently: true });
  if (!context) throw new Error('this browser has no canvas to draw on');
  const ask = createAsk();
  let size = { width: 1, height: 1 };
  let place = 0;
  let drawing = false;
  /** @type {{run: () => void, drop: () => void} | null} */
  let waiting = null;

  /** @param {number} setup @param {Float32Array} rgb @param {Style} style @param {number} width @param {number} height @param {import('./desk.js').How} how @returns {Promise<ImageData | null>} */
  async function picture(setup, rgb, style, width, height, how) {
    const of = place;
    const image = new ImageData(width, height);
    const answer = await ask({ ask: 'draw', setup, rgb: rgb.slice(), style, image, how }, [image.data.buffer]);
    return of === place && answer.image ? answer.image : null;
  }

  /** @param {number} setup @param {Float32Array} rgb @param {Style} style @param {number} thin @returns {Promise<boolean>} */
  async function drawNow(setup, rgb, style, thin) {
    drawing = true;
    const image = await picture(setup, rgb, style, Math.floor(size.width / thin), Math.floor(size.height / thin), { thin, of: size }).catch(() => null);
    if (image && context) {
      if (canvas.width !== image.width || canvas.height !== image.height) Object.assign(canvas, { width: image.width, height: image.height });
      context.putImageData(image, 0, 0);
    }
    drawing = false;
    const next = waiting;
    waiting = null;
    next?.run();
    return Boolean(image);
  }

  return {
    canvas,
    levels: LEVELS,
    load(scene, map) {
      place++;
      void ask({ ask: 'load', scene, map });
    },
    takeAir(air) {
      void ask({ ask: 'air', air });
    },
    resize(width, height) {
      size = { width, height };
    },
    draw(setup, rgb, style, { thin = 1 } = {}) {
      if (!drawing) return drawNow(setup, rgb, style, thin);
      waiting?.drop();
      return new Promise((resolve) => {
        waiting = { run: () => resolve(drawNow(setup, rgb, style, thin)), drop: () => resolve(false) };
      });
    },
    read: async (x, y) => (await ask({ ask: 'read', x, y })).stops ?? -Infinity,
    image: () => context.getImageData(0, 0, canvas.width, canvas.height),
    end: () => ask.end(),
  };
}

/** Asks a worker, or where there is none the page itself, in a turn of its own. */
function createAsk() {
  /** @type {Map<number, (answer: Answer) => void>} */
  const open = new Map();
  let last = 0;
  /** @param {Answer} answer */
  const settle = (answer) => {
    open.get(answer.id)?.(answer);
    open.delete(answer.id);
  };
  const worker = startWorker(settle);
  const desk = worker ? null : createDesk();

  /** @param {any} asked @param {Transferable[]} [transfer] @returns {Promise<Answer>} */
  function ask(asked, transfer = []) {
    const id = ++last;
    return new Promise((resolve, reject) => {
      open.set(id, (answer) => (answer.error ? reject(new Error(answer.error)) : resolve(answer)));
      if (worker) worker.postMessage({ ...asked, id }, transfer);
      else setTimeout(() => desk && settle(desk({ ...asked, id })));
    });
  }
  ask.end = () => worker?.terminate();
  return ask;
}

/** @param {(answer: Answer) => void} settle @returns {Worker | null} */
function startWorker(settle) {
  try {
    const worker = new Worker(new URL('./desk-worker.js', import.meta.url), { type: 'module' });
    worker.onmessage = ({ data }) => settle(data);
    return worker;
  } catch {
    return null;
  }
}
