// Lamps as they are seen from above: a tube is a line of cells, a panel a
// square turned to its aim, a spot a ring, a puck a dot, and what gives no
// light a few wavy lines. The glow around them is in the light on the ground.

/** @import {PlanLamp} from '../types' */
/** @import {RGB} from './display.js' */
/** @import {Box} from './throw.js' */
/** @import {View} from './box.js' */

import { cellsOnPlan } from './box.js';
import { cssColour } from './display.js';

const BODY = 'rgba(190, 88, 54, 0.55)';
/** Narrowest that a cell is drawn, px and m, whatever its true size, and how much wider by class. */
const LEAST_PX = 3.2;
const LEAST_M = 0.08;
const WIDER = /** @type {Record<string, number>} */ ({ puck: 1.5, panel: 2.6, spot: 2.6, fog: 2.6 });
/** How much of the hot middle of a cell is its own white. */
const HOT = 0.45;
/** A cell under this, linear, is drawn dark. */
const DARK = 0.0006;

/**
 * A lamp in pixels.
 *
 * @typedef {object} Shape
 * @property {string} kind class of the lamp
 * @property {number} first its first cell
 * @property {Array<[number, number]>} at middle of each cell
 * @property {[number, number]} half from the middle of a cell to its end
 * @property {number} thick px
 * @property {number} turn direction it looks on the picture, radians
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
  const aim = lamp.aim ?? lamp.place;
  const size = lamp.class === 'tube' ? lamp.width_m : Math.max(lamp.width_m, lamp.length_m);
  return {
    kind: lamp.class,
    first: lamp.first_cell,
    at: (places.length ? places : [lamp.place]).map((p) => view.at(p)),
    half: [half[0] * view.scale, -half[1] * view.scale],
    thick: Math.max(Math.max(LEAST_PX, LEAST_M * view.scale) * (WIDER[lamp.class] ?? 1), (size || 0) * view.scale),
    turn: Math.atan2(lamp.place[1] - aim[1], aim[0] - lamp.place[0]),
  };
}

/**
 * @param {CanvasRenderingContext2D} g
 * @param {Shape} lamp
 * @param {Float32Array} colours linear sRGB of every cell of the plan
 * @param {boolean} small without hot middles
 */
export function drawLamp(g, lamp, colours, small) {
  if (lamp.kind === 'tube') drawTube(g, lamp, colours, small);
  else drawHead(g, lamp, colours, small);
}

/** @param {CanvasRenderingContext2D} g @param {Shape} lamp @param {Float32Array} colours @param {boolean} small */
function drawTube(g, lamp, colours, small) {
  const [hx, hy] = lamp.half;
  const last = lamp.at.length - 1;
  const thick = small ? lamp.thick * 0.7 : lamp.thick;
  g.lineCap = 'round';
  g.strokeStyle = BODY;
  g.lineWidth = small ? 1 : thick * 0.5;
  line(g, lamp.at[0][0] - hx, lamp.at[0][1] - hy, lamp.at[last][0] + hx, lamp.at[last][1] + hy);
  lamp.at.forEach(([x, y], i) => {
    const rgb = colourAt(colours, lamp.first + i);
    if (!rgb) return;
    g.lineCap = i === 0 || i === last ? 'round' : 'butt';
    g.strokeStyle = cssColour(rgb);
    g.lineWidth = thick;
    line(g, x - hx, y - hy, x + hx, y + hy);
    if (small) return;
    g.strokeStyle = cssColour(hot(rgb));
    g.lineWidth = thick * 0.4;
    line(g, x - hx, y - hy, x + hx, y + hy);
  });
}

/** @param {CanvasRenderingContext2D} g @param {Shape} lamp @param {Float32Array} colours @param {boolean} small */
function drawHead(g, lamp, colours, small) {
  const r = (small ? lamp.thick * 0.75 : lamp.thick) / 2;
  lamp.at.forEach(([x, y], i) => {
    const rgb = lamp.kind === 'fog' ? null : colourAt(colours, lamp.first + i);
    outline(g, lamp, x, y, r);
    g.lineWidth = small ? 0.8 : 1.3;
    g.strokeStyle = BODY;
    if (rgb) {
      g.fillStyle = cssColour(rgb);
      g.fill();
    } else g.stroke();
    if (!rgb || small) return;
    g.fillStyle = cssColour(hot(rgb));
    outline(g, lamp, x, y, r * 0.45);
    g.fill();
  });
}

/** @param {CanvasRenderingContext2D} g @param {Shape} lamp @param {number} x @param {number} y @param {number} r */
function outline(g, lamp, x, y, r) {
  g.beginPath();
  if (lamp.kind === 'panel') {
    for (let k = 0; k < 4; k++) {
      const a = lamp.turn + Math.PI / 4 + (k * Math.PI) / 2;
      g.lineTo(x + r * 1.25 * Math.cos(a), y + r * 1.25 * Math.sin(a));
    }
    g.closePath();
  } else if (lamp.kind === 'fog') {
    for (let k = -1; k <= 1; k++) {
      g.moveTo(x - r, y + k * r * 0.7);
      g.bezierCurveTo(x - r / 3, y + k * r * 0.7 - r / 2, x + r / 3, y + k * r * 0.7 + r / 2, x + r, y + k * r * 0.7);
    }
  } else g.arc(x, y, r, 0, 2 * Math.PI);
}

/** The middle of a lit face, nearer to white. @param {RGB} rgb linear @returns {RGB} */
function hot(rgb) {
  const peak = Math.max(...rgb);
  return [rgb[0] + (peak - rgb[0]) * HOT, rgb[1] + (peak - rgb[1]) * HOT, rgb[2] + (peak - rgb[2]) * HOT];
}

/** @param {CanvasRenderingContext2D} g @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1 */
function line(g, x0, y0, x1, y1) {
  g.beginPath();
  g.moveTo(x0, y0);
  g.lineTo(x1, y1);
  g.stroke();
}

/** Null when the cell is dark. @param {Float32Array} colours @param {number} cell @returns {RGB | null} */
function colourAt(colours, cell) {
  const i = cell * 3;
  const peak = Math.max(colours[i], colours[i + 1], colours[i + 2]);
  return peak > DARK ? [colours[i], colours[i + 1], colours[i + 2]] : null;
}
