// Lamps as they are seen from above: a tube is a line of cells, a panel a
// square, a spot a ring with its throw, a puck a dot. Drawn additively, so
// that light on light is brighter.

/** @import {PlanLamp} from '../types' */
/** @import {Box} from './throw.js' */
/** @import {View} from './box.js' */

import { cellsOnPlan } from './box.js';
import { cssColour } from './display.js';

const BODY = 'rgba(160, 74, 46, 0.5)';
/** Narrowest that a cell is drawn, px, whatever its true size. */
const LEAST_PX = 3.2;
/** Widest a throw is drawn to either side, radians, and how far at most, m. */
const THROW_ANGLE = /** @type {Record<string, number>} */ ({ spot: 0.2, panel: 0.5 });
const THROW_FAR_M = 5;

/**
 * A lamp in pixels.
 *
 * @typedef {object} Shape
 * @property {string} kind class of the lamp
 * @property {number} first its first cell
 * @property {Array<[number, number]>} at middle of each cell
 * @property {[number, number]} half from the middle of a cell to its end
 * @property {number} thick px
 * @property {number | null} turn direction of its throw on the picture, radians
 * @property {number} far length of the throw, px
 */

/**
 * @param {PlanLamp} lamp
 * @param {Box} box
 * @param {View} view
 * @returns {Shape}
 */
export function shapeOf(lamp, box, view) {
  const cells = lamp.cells ?? [];
  const { places, half } = cellsOnPlan(lamp, cells, box);
  const aim = lamp.aim && THROW_ANGLE[lamp.class] ? lamp.aim : null;
  const dx = aim ? aim[0] - lamp.place[0] : 0;
  const dy = aim ? aim[1] - lamp.place[1] : 0;
  const far = Math.hypot(dx, dy);
  const size = lamp.class === 'tube' ? lamp.width_m : Math.max(lamp.width_m, lamp.length_m);
  const wide = lamp.class === 'tube' ? 1 : lamp.class === 'puck' ? 1.3 : 2.4;
  return {
    kind: lamp.class,
    first: lamp.first_cell,
    at: (places.length ? places : [lamp.place]).map((p) => view.at(p)),
    half: [half[0] * view.scale, -half[1] * view.scale],
    thick: Math.max(LEAST_PX * wide, (size || 0) * view.scale),
    turn: far > 0.3 ? Math.atan2(-dy, dx) : null,
    far: Math.min(far, THROW_FAR_M) * view.scale,
  };
}

/**
 * @param {CanvasRenderingContext2D} g set to add light
 * @param {Shape} lamp
 * @param {Float32Array} colours linear sRGB of every cell of the plan
 * @param {boolean} small no glow and no throw
 */
export function drawLamp(g, lamp, colours, small) {
  if (lamp.kind === 'tube') drawTube(g, lamp, colours, small);
  else drawHead(g, lamp, colours, small);
}

/**
 * @param {CanvasRenderingContext2D} g
 * @param {Shape} lamp
 * @param {Float32Array} colours
 * @param {boolean} small
 */
function drawTube(g, lamp, colours, small) {
  const [hx, hy] = lamp.half;
  const last = lamp.at.length - 1;
  g.lineCap = 'round';
  g.strokeStyle = BODY;
  g.lineWidth = small ? 1 : 1.2;
  line(g, lamp.at[0][0] - hx, lamp.at[0][1] - hy, lamp.at[last][0] + hx, lamp.at[last][1] + hy);
  const cell = 2 * Math.hypot(hx, hy);
  g.lineCap = 'butt';
  for (let i = 0; i <= last; i++) {
    const rgb = colourAt(colours, lamp.first + i);
    if (!rgb) continue;
    const [x, y] = lamp.at[i];
    if (!small) glow(g, x, y, lamp.thick * 6, rgb, Math.min(0.5, cell / (lamp.thick * 4)));
    g.strokeStyle = cssColour(rgb);
    g.lineWidth = small ? lamp.thick * 0.8 : lamp.thick;
    line(g, x - hx, y - hy, x + hx, y + hy);
    if (small) continue;
    g.strokeStyle = cssColour(rgb, 0.55);
    g.lineWidth = lamp.thick * 0.4;
    line(g, x - hx, y - hy, x + hx, y + hy);
  }
}

/**
 * Panel, spot, puck, or what gives no light.
 *
 * @param {CanvasRenderingContext2D} g
 * @param {Shape} lamp
 * @param {Float32Array} colours
 * @param {boolean} small
 */
function drawHead(g, lamp, colours, small) {
  const r = lamp.thick / 2;
  lamp.at.forEach(([x, y], i) => {
    const rgb = lamp.kind === 'fog' ? null : colourAt(colours, lamp.first + i);
    if (rgb && !small) {
      if (lamp.turn !== null) throwLight(g, lamp, x, y, rgb);
      glow(g, x, y, lamp.thick * 2.6, rgb, 0.5);
    }
    g.lineWidth = 1.2;
    g.strokeStyle = BODY;
    g.fillStyle = rgb ? cssColour(rgb) : 'transparent';
    outline(g, lamp, x, y, r);
    if (rgb) g.fill();
    if (!small || !rgb) g.stroke();
  });
}

/** @param {CanvasRenderingContext2D} g @param {Shape} lamp @param {number} x @param {number} y @param {number} r */
function outline(g, lamp, x, y, r) {
  g.beginPath();
  if (lamp.kind === 'panel') {
    const turn = lamp.turn ?? 0;
    for (let k = 0; k < 4; k++) {
      const a = turn + Math.PI / 4 + (k * Math.PI) / 2;
      g.lineTo(x + r * 1.25 * Math.cos(a), y + r * 1.25 * Math.sin(a));
    }
    g.closePath();
  } else if (lamp.kind === 'fog') {
    for (let k = -1; k <= 1; k++) {
      g.moveTo(x - 5, y + k * 3);
      g.bezierCurveTo(x - 2, y + k * 3 - 2, x + 2, y + k * 3 + 2, x + 5, y + k * 3);
    }
  } else g.arc(x, y, r, 0, 2 * Math.PI);
}

/**
 * The beam in the air from a lamp with a direction.
 *
 * @param {CanvasRenderingContext2D} g
 * @param {Shape} lamp
 * @param {number} x
 * @param {number} y
 * @param {[number, number, number]} rgb
 */
function throwLight(g, lamp, x, y, rgb) {
  const turn = /** @type {number} */ (lamp.turn);
  const fade = g.createRadialGradient(x, y, 2, x, y, lamp.far);
  fade.addColorStop(0, cssColour(rgb, 0.3));
  fade.addColorStop(0.4, cssColour(rgb, 0.09));
  fade.addColorStop(1, cssColour(rgb, 0));
  g.fillStyle = fade;
  for (const share of [1, 0.55]) {
    const wide = THROW_ANGLE[lamp.kind] * share;
    g.beginPath();
    g.moveTo(x, y);
    g.arc(x, y, lamp.far, turn - wide, turn + wide);
    g.closePath();
    g.fill();
  }
}

/** @param {CanvasRenderingContext2D} g @param {number} x @param {number} y @param {number} r @param {[number, number, number]} rgb @param {number} strength */
function glow(g, x, y, r, rgb, strength) {
  const fade = g.createRadialGradient(x, y, 0, x, y, r);
  fade.addColorStop(0, cssColour(rgb, strength * 0.6));
  fade.addColorStop(0.3, cssColour(rgb, strength * 0.2));
  fade.addColorStop(0.65, cssColour(rgb, strength * 0.05));
  fade.addColorStop(1, cssColour(rgb, 0));
  g.fillStyle = fade;
  g.fillRect(x - r, y - r, 2 * r, 2 * r);
}

/** @param {CanvasRenderingContext2D} g @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1 */
function line(g, x0, y0, x1, y1) {
  g.beginPath();
  g.moveTo(x0, y0);
  g.lineTo(x1, y1);
  g.stroke();
}

/** Null when the cell is dark. @param {Float32Array} colours @param {number} cell @returns {[number, number, number] | null} */
function colourAt(colours, cell) {
  const i = cell * 3;
  const r = colours[i];
  const g = colours[i + 1];
  const b = colours[i + 2];
  return r + g + b > 0.0004 ? [r, g, b] : null;
}
