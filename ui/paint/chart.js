// The CIE 1976 u'v' chart: what colours there are, where whites lie, and how a
// place on it becomes a colour to show.
//
// Sources: u', v' and the spectral locus, CIE 15 (2-degree observer, every 10 nm
// from 420 to 680 nm); the Planckian locus by the fit of Kim et al. 2002 to x, y.

/** @typedef {[number, number]} UV */

/** x, y of the spectral locus, 420 nm to 680 nm in steps of 10. @type {Array<[number, number]>} */
const LOCUS_XY = [
  [0.1714, 0.0051], [0.1689, 0.0069], [0.1644, 0.0109], [0.1566, 0.0177], [0.144, 0.0297], [0.1241, 0.0578],
  [0.0913, 0.1327], [0.0454, 0.295], [0.0082, 0.5384], [0.0139, 0.7502], [0.0743, 0.8338], [0.1547, 0.8059],
  [0.2296, 0.7543], [0.3016, 0.6923], [0.3731, 0.6245], [0.4441, 0.5547], [0.5125, 0.4866], [0.5752, 0.4242],
  [0.627, 0.3725], [0.6658, 0.334], [0.6915, 0.3083], [0.7079, 0.292], [0.719, 0.2809], [0.726, 0.274],
  [0.73, 0.27], [0.732, 0.268], [0.7334, 0.2666],
];

/** The part of the chart that is shown. */
export const CHART = { u: 0, v: 0.02, width: 0.64, height: 0.58 };

/** @param {number} x @param {number} y @returns {UV} */
export function uvOf(x, y) {
  const d = -2 * x + 12 * y + 3;
  return [(4 * x) / d, (9 * y) / d];
}

/** @param {UV} uv @returns {[number, number]} x, y */
export function xyOf([u, v]) {
  const d = 6 * u - 16 * v + 12;
  return [(9 * u) / d, (4 * v) / d];
}

/** @type {UV[]} */
export const LOCUS = LOCUS_XY.map(([x, y]) => uvOf(x, y));

/**
 * A black body's chromaticity.
 *
 * @param {number} t K, 1667 to 25000
 * @returns {UV}
 */
export function planckian(t) {
  const k = 1e3 / t;
  const x = t <= 4000
    ? -0.2661239 * k ** 3 - 0.234358 * k ** 2 + 0.8776956 * k + 0.17991
    : -3.0258469 * k ** 3 + 2.1070379 * k ** 2 + 0.2226347 * k + 0.24039;
  const y = t <= 2222 ? -1.1063814 * x ** 3 - 1.3481102 * x ** 2 + 2.18555832 * x - 0.20219683
    : t <= 4000 ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
      : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483;
  return uvOf(x, y);
}

/**
 * Whether a place lies in a polygon, given corner after corner.
 *
 * @param {UV} p
 * @param {UV[]} corners
 */
export function inside(p, corners) {
  let is = false;
  for (let i = 0, j = corners.length - 1; i < corners.length; j = i++) {
    const [ax, ay] = corners[i];
    const [bx, by] = corners[j];
    if (ay > p[1] !== by > p[1] && p[0] < ((bx - ax) * (p[1] - ay)) / (by - ay) + ax) is = !is;
  }
  return is;
}

/**
 * The nearest place of the spectral locus and the line that closes it, for one
 * that lies outside: no light has a colour there.
 *
 * @param {UV} p
 * @returns {UV}
 */
export function intoLocus(p) {
  if (inside(p, LOCUS)) return p;
  /** @type {UV} */
  let best = LOCUS[0];
  let least = Infinity;
  for (let i = 0; i < LOCUS.length; i++) {
    const a = LOCUS[i];
    const b = LOCUS[(i + 1) % LOCUS.length];
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const t = Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)));
    /** @type {UV} */
    const q = [a[0] + t * dx, a[1] + t * dy];
    const d = Math.hypot(p[0] - q[0], p[1] - q[1]);
    if (d < least) [least, best] = [d, q];
  }
  // A little inward, so that rounding does not lead out again.
  return [best[0] + (0.2105 - best[0]) * 0.004, best[1] + (0.4737 - best[1]) * 0.004];
}

/**
 * A colour of the chart as a show file writes it.
 *
 * @param {UV} uv
 */
export function uvText([u, v]) {
  return `{uv: [${u.toFixed(4)}, ${v.toFixed(4)}]}`;
}

/**
 * A white as a show file writes it.
 *
 * @param {number} kelvin
 * @param {number} tint Duv
 */
export function whiteText(kelvin, tint) {
  return Math.abs(tint) < 0.0005 ? `${kelvin} K` : `{cct: ${kelvin} K, tint: ${Number(tint.toFixed(3))}}`;
}
