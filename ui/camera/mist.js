// Glow on the page's own processor: two blurs of the frame, a fiftieth and a
// tenth of the width wide (picture.Glow), each three passes of a box.

/** Width that blurs are made at, pixels. */
const WIDTH = 192;
/** Sigmas as shares of the width. */
const SIGMAS = [1 / 100, 1 / 20];

/**
 * Spreads a share of the light of a frame, in place.
 *
 * @param {Float32Array} frame red, green, blue of each pixel
 * @param {number} width
 * @param {number} height
 * @param {number} share
 */
export function spread(frame, width, height, share) {
  const w = Math.min(WIDTH, width);
  const h = Math.max(1, Math.round((w * height) / width));
  const small = shrink(frame, width, height, w, h);
  const [soft, softer] = SIGMAS.map((s) => blur(small.slice(), w, h, s * w));
  for (let i = 0; i < soft.length; i++) soft[i] = (share / 2) * (soft[i] + softer[i]);
  addLarger(frame, width, height, 1 - share, soft, w, h);
}

/**
 * Adds a smaller picture, read between the middles of its pixels, to a share of a frame,
 * in place.
 *
 * @param {Float32Array} frame red, green, blue of each pixel
 * @param {number} width
 * @param {number} height
 * @param {number} share that is kept of the frame
 * @param {Float32Array} soft the smaller picture
 * @param {number} w
 * @param {number} h
 */
export function addLarger(frame, width, height, share, soft, w, h) {
  for (let y = 0, o = 0; y < height; y++) {
    const v = Math.min(Math.max(((y + 0.5) * h) / height - 0.5, 0), h - 1);
    const j = Math.min(Math.floor(v), Math.max(h - 2, 0));
    const fy = v - j;
    const below = h > 1 ? 3 * w : 0;
    for (let x = 0; x < width; x++) {
      const u = Math.min(Math.max(((x + 0.5) * w) / width - 0.5, 0), w - 1);
      const i = Math.min(Math.floor(u), Math.max(w - 2, 0));
      const fx = u - i;
      const right = w > 1 ? 3 : 0;
      let at = 3 * (j * w + i);
      for (let c = 0; c < 3; c++, at++, o++) {
        const above = soft[at] + fx * (soft[at + right] - soft[at]);
        const under = soft[at + below] + fx * (soft[at + below + right] - soft[at + below]);
        frame[o] = share * frame[o] + above + fy * (under - above);
      }
    }
  }
}

/** @param {Float32Array} frame @param {number} width @param {number} height @param {number} w @param {number} h */
function shrink(frame, width, height, w, h) {
  const out = new Float32Array(3 * w * h);
  for (let y = 0; y < h; y++) {
    const [top, bottom] = [Math.floor((y * height) / h), Math.max(Math.floor((y * height) / h) + 1, Math.floor(((y + 1) * height) / h))];
    for (let x = 0; x < w; x++) {
      const [left, right] = [Math.floor((x * width) / w), Math.max(Math.floor((x * width) / w) + 1, Math.floor(((x + 1) * width) / w))];
      const o = 3 * (y * w + x);
      for (let j = top; j < bottom; j++) {
        for (let i = 3 * (j * width + left); i < 3 * (j * width + right); i += 3) {
          out[o] += frame[i];
          out[o + 1] += frame[i + 1];
          out[o + 2] += frame[i + 2];
        }
      }
      const n = (bottom - top) * (right - left);
      for (let c = 0; c < 3; c++) out[o + c] /= n;
    }
  }
  return out;
}

/** Three boxes each way, close to a Gaussian. @param {Float32Array} a @param {number} w @param {number} h @param {number} sigma */
function blur(a, w, h, sigma) {
  const radius = Math.round((Math.sqrt(4 * sigma * sigma + 1) - 1) / 2);
  const b = new Float32Array(a.length);
  for (let k = 0; k < 3; k++) {
    box(a, b, h, w, 3 * w, 3, radius);
    box(b, a, w, h, 3, 3 * w, radius);
  }
  return a;
}

/** Means of n numbers, step apart, of each of so many lines; light that would leave stays at the edge. @param {Float32Array} from @param {Float32Array} to @param {number} lines @param {number} n @param {number} lineStep @param {number} step @param {number} radius */
function box(from, to, lines, n, lineStep, step, radius) {
  /** @param {number} i */
  const mirror = (i) => {
    const m = ((i % (2 * n)) + 2 * n) % (2 * n);
    return (m < n ? m : 2 * n - 1 - m) * step;
  };
  const comes = Int32Array.from({ length: n }, (_, i) => mirror(i + radius + 1));
  const goes = Int32Array.from({ length: n }, (_, i) => mirror(i - radius));
  for (let line = 0; line < lines; line++) {
    for (let c = 0; c < 3; c++) {
      const o = line * lineStep + c;
      let sum = 0;
      for (let i = -radius; i <= radius; i++) sum += from[o + mirror(i)];
      for (let i = 0; i < n; i++) {
        to[o + i * step] = sum / (2 * radius + 1);
        sum += from[o + comes[i]] - from[o + goes[i]];
      }
    }
  }
}
