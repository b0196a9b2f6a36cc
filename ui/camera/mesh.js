// Surfaces as triangles. Each corner has its place, where on its surface it
// is, and which surface that is; triangles run counter-clockwise seen from
// outside. On a tube and a ball the picture finds u and v again from where it
// is, so that they are exact between corners too.

/** @import {Point, SceneShape} from '../types' */

/** Sides of a round thing, of one thin as a lamp, and of a ball from pole to pole. */
const AROUND = 48;
const AROUND_THIN = 12;
const ACROSS = 24;
/** Radius up to which a thing is thin, m. */
const THIN = 0.1;

/** What a picture does to find u and v: of a flat one, a tube, a ball. */
export const KIND = { flat: 0, tube: 1, ball: 2 };

/** @param {SceneShape} s */
export const kindOf = (s) => (s.shape === 'tube' ? KIND.tube : s.shape === 'ball' ? KIND.ball : KIND.flat);

/**
 * @typedef {object} Mesh
 * @property {Float32Array} corners place x, y, z, then x, y, z on the surface, of each
 * @property {Float32Array} owners surface of each
 * @property {Uint32Array} faces three corners a triangle
 *
 * @param {SceneShape[]} shapes
 * @param {(owner: number) => boolean} [shown] which of them are drawn
 * @returns {Mesh}
 */
export function meshOf(shapes, shown = () => true) {
  /** @type {number[]} */
  const corners = [];
  /** @type {number[]} */
  const owners = [];
  /** @type {number[]} */
  const triangles = [];
  shapes.forEach((shape, owner) => {
    if (!shown(owner)) return;
    const { points, faces } = tessellate(shape);
    const before = owners.length;
    for (const p of points) {
      corners.push(...p);
      owners.push(owner);
    }
    for (const i of faces) triangles.push(before + i);
  });
  return { corners: new Float32Array(corners), owners: new Float32Array(owners), faces: new Uint32Array(triangles) };
}

/** @param {SceneShape} shape @returns {{points: number[][], faces: number[]}} */
function tessellate(shape) {
  const w = shape.w ?? [0, 0, 0];
  /** The point at + x·u + y·v + z·w, with what is kept of it. @param {number} x @param {number} y @param {number} z @param {Point} on */
  const point = (x, y, z, on) => [0, 1, 2].map((i) => shape.at[i] + x * shape.u[i] + y * shape.v[i] + z * w[i]).concat(on);
  switch (shape.shape) {
    case 'triangle':
      return { points: [point(0, 0, 0, [0, 0, 0]), point(1, 0, 0, [1, 0, 0]), point(0, 1, 0, [0, 1, 0])], faces: [0, 1, 2] };
    case 'disc':
      return fan(point);
    case 'tube':
      return net(Math.hypot(...shape.u) <= THIN ? AROUND_THIN : AROUND, 1, (a, j) => point(Math.cos(a), Math.sin(a), j, [Math.cos(a), Math.sin(a), j]));
    case 'ball':
      return net(AROUND, ACROSS, (a, j) => {
        const b = (j / ACROSS - 0.5) * Math.PI;
        const on = /** @type {Point} */ ([Math.cos(a) * Math.cos(b), Math.sin(a) * Math.cos(b), Math.sin(b)]);
        return point(...on, on);
      });
    default:
      return {
        points: [point(0, 0, 0, [0, 0, 0]), point(1, 0, 0, [1, 0, 0]), point(1, 1, 0, [1, 1, 0]), point(0, 1, 0, [0, 1, 0])],
        faces: [0, 1, 2, 0, 2, 3],
      };
  }
}

/** A disc as a fan. @param {(x: number, y: number, z: number, on: Point) => number[]} point */
function fan(point) {
  const points = [point(0, 0, 0, [0.5, 0.5, 0])];
  const faces = [];
  for (let i = 0; i < AROUND; i++) {
    const [x, y] = [Math.cos((2 * Math.PI * i) / AROUND), Math.sin((2 * Math.PI * i) / AROUND)];
    points.push(point(x, y, 0, [(x + 1) / 2, (y + 1) / 2, 0]));
    faces.push(0, 1 + i, 1 + ((i + 1) % AROUND));
  }
  return { points, faces };
}

/** Rows of corners around an axis. @param {number} around @param {number} rows @param {(angle: number, row: number) => number[]} point */
function net(around, rows, point) {
  const points = [];
  const faces = [];
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= around; i++) points.push(point((2 * Math.PI * i) / around, j));
  }
  const at = (/** @type {number} */ i, /** @type {number} */ j) => j * (around + 1) + i;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < around; i++) faces.push(at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j), at(i + 1, j + 1), at(i, j + 1));
  }
  return { points, faces };
}
