// Triangles to pixels, on the page's own processor: which triangle a look
// through each pixel meets first, and where on it.

/** @import {Mesh} from './mesh.js' */

/** What meets no triangle. */
export const NOTHING = 0;
/** Nearest that is drawn, as the lens has it, m. */
const NEAR = 0.05;
/** Numbers kept of a triangle: 1/distance and three more over the distance, each linear over the picture. */
const PLANES = 12;

/**
 * @param {Float32Array} lens from metres to clip coordinates, columns first
 * @param {number} width
 * @param {number} height
 */
export function createRaster(lens, width, height) {
  /** Owner of each triangle; what meets none has none. */
  const owners = [-1];
  /** @type {number[]} x of three corners, then y */
  const corners = [0, 0, 0, 0, 0, 0];
  const planes = new Array(PLANES).fill(0);

  /** Keeps a triangle of corners [x, y, 1/w, a/w, b/w, c/w], unless it is thin as a line. @param {number[][]} t @param {number} owner */
  function keep([p, q, r], owner) {
    const area = (q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1]);
    if (Math.abs(area) < 1e-9) return;
    owners.push(owner);
    corners.push(p[0], q[0], r[0], p[1], q[1], r[1]);
    for (let i = 2; i < 6; i++) {
      const dx = ((q[i] - p[i]) * (r[1] - p[1]) - (r[i] - p[i]) * (q[1] - p[1])) / area;
      const dy = ((r[i] - p[i]) * (q[0] - p[0]) - (q[i] - p[i]) * (r[0] - p[0])) / area;
      planes.push(dx, dy, p[i] - dx * p[0] - dy * p[1]);
    }
  }

  /** Corner of a mesh: clip w, and x, y and three numbers before they are divided by it. @param {Mesh} mesh @param {number} i @param {number} first */
  function corner(mesh, i, first) {
    const c = mesh.corners;
    const [x, y, z] = [c[6 * i], c[6 * i + 1], c[6 * i + 2]];
    const row = (/** @type {number} */ r) => lens[r] * x + lens[4 + r] * y + lens[8 + r] * z + lens[12 + r];
    const w = row(3);
    return [((row(0) + w) / 2) * width, ((w - row(1)) / 2) * height, 1, c[6 * i + first], c[6 * i + first + 1], c[6 * i + first + 2], w];
  }

  return {
    owners,

    /**
     * @param {Mesh} mesh
     * @param {number} first owners before those of the mesh
     * @param {number} on which numbers of a corner are kept: 0 where it is, 3 where on its surface
     * @param {(owner: number) => boolean} backs whether its triangles hide what is behind them from the back too; they are dark there
     */
    add(mesh, first, on, backs) {
      for (let f = 0; f < mesh.faces.length; f += 3) {
        const owner = mesh.owners[mesh.faces[f]];
        const whole = clip([0, 1, 2].map((k) => corner(mesh, mesh.faces[f + k], on)));
        const flat = whole.map((v) => v.slice(0, 6).map((n) => n / v[6]));
        for (let k = 2; k < flat.length; k++) {
          const [p, q, r] = [flat[0], flat[k - 1], flat[k]];
          const front = (q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1]) < 0; // rows run down
          if (front) keep([p, q, r], first + owner);
          else if (backs(owner)) keep([p, q, r], -1);
        }
      }
    },

    /** Triangle that is met through each pixel, rows from the top. @param {number} dx of the pixel, 0..1 @param {number} dy */
    looks(dx, dy) {
      const met = new Int32Array(width * height).fill(NOTHING);
      const near = new Float32Array(width * height);
      const all = { corners: Float64Array.from(corners), planes: Float64Array.from(planes) };
      for (let t = 1; t < owners.length; t++) fill(all, t, dx, dy, width, height, met, near);
      return met;
    },

    /** How far ahead of the lens a triangle is at a point of the picture, m. @param {number} t @param {number} x @param {number} y */
    ahead: (t, x, y) => 1 / (planes[PLANES * t] * x + planes[PLANES * t + 1] * y + planes[PLANES * t + 2]),

    /** The three numbers of a triangle at a point of the picture. @param {number} t @param {number} x @param {number} y @param {number[]} into */
    at(t, x, y, into) {
      const o = PLANES * t;
      const w = 1 / (planes[o] * x + planes[o + 1] * y + planes[o + 2]);
      for (let i = 0; i < 3; i++) into[i] = (planes[o + 3 + 3 * i] * x + planes[o + 4 + 3 * i] * y + planes[o + 5 + 3 * i]) * w;
    },
  };
}

/** @typedef {ReturnType<typeof createRaster>} Raster */

/** What of a triangle is far enough to be drawn. @param {number[][]} corners */
function clip(corners) {
  const out = [];
  for (let i = 0; i < corners.length; i++) {
    const a = corners[i];
    const b = corners[(i + 1) % corners.length];
    if (a[6] >= NEAR) out.push(a);
    if (a[6] >= NEAR !== b[6] >= NEAR) {
      const s = (NEAR - a[6]) / (b[6] - a[6]);
      out.push(a.map((v, k) => v + s * (b[k] - v)));
    }
  }
  return out;
}

/**
 * Looks through the pixels that a triangle covers.
 *
 * @param {{corners: Float64Array, planes: Float64Array}} all @param {number} t
 * @param {number} dx @param {number} dy @param {number} width @param {number} height
 * @param {Int32Array} met @param {Float32Array} near 1/distance
 */
function fill({ corners, planes }, t, dx, dy, width, height, met, near) {
  const c = 6 * t;
  const y0 = corners[c + 3];
  const y1 = corners[c + 4];
  const y2 = corners[c + 5];
  const low = Math.max(0, Math.ceil(Math.min(y0, y1, y2) - dy));
  const high = Math.min(height - 1, Math.floor(Math.max(y0, y1, y2) - dy));
  const a = planes[PLANES * t];
  for (let row = low; row <= high; row++) {
    const y = row + dy;
    let left = Infinity;
    let right = -Infinity;
    for (let e = 0, f = 2; e < 3; f = e++) {
      const py = corners[c + 3 + e];
      const qy = corners[c + 3 + f];
      if (py <= y === qy <= y) continue;
      const x = corners[c + e] + ((y - py) / (qy - py)) * (corners[c + f] - corners[c + e]);
      if (x < left) left = x;
      if (x > right) right = x;
    }
    const first = Math.max(0, Math.ceil(left - dx));
    const last = Math.min(width - 1, Math.ceil(right - dx) - 1);
    const b = planes[PLANES * t + 1] * y + planes[PLANES * t + 2] + a * dx;
    let at = row * width + first;
    for (let x = first; x <= last; x++, at++) {
      const n = a * x + b;
      if (n > near[at]) {
        near[at] = n;
        met[at] = t;
      }
    }
  }
}
