// What stands at the location, in faint warm lines: set pieces, marks and
// walks, and how long a metre or two are.

/** @import {Plan} from '../types' */
/** @import {View} from './box.js' */

import { roundLength, words } from '../format.js';

const LINE = 'rgba(214, 104, 66, 0.34)';
const FAINT = 'rgba(214, 104, 66, 0.16)';
const TEXT = 'rgb(238, 122, 80)';
const FONT = '11px system-ui, sans-serif';
/** A dark rim keeps words readable on any light. */
const RIM = 'rgba(0, 0, 0, 0.75)';

/**
 * @param {CanvasRenderingContext2D} g
 * @param {Plan} plan
 * @param {View} view
 * @param {boolean} small lines only
 */
export function drawOutlines(g, plan, view, small) {
  g.lineWidth = 1;
  for (const piece of plan.set ?? []) drawPiece(g, piece, view, small);
  for (const mark of plan.marks ?? []) drawMark(g, mark, view, small);
}

/**
 * @param {CanvasRenderingContext2D} g
 * @param {NonNullable<Plan['set']>[number]} piece
 * @param {View} view
 * @param {boolean} small
 */
function drawPiece(g, piece, view, small) {
  const [x, y] = view.at([piece.centre[0] - piece.size[0] / 2, piece.centre[1] + piece.size[1] / 2]);
  const w = piece.size[0] * view.scale;
  const h = piece.size[1] * view.scale;
  g.strokeStyle = small ? FAINT : LINE;
  g.strokeRect(x + 0.5, y + 0.5, Math.max(1, w - 1), Math.max(1, h - 1));
  if (small || w < 90 || h < 20 || view.width < 520) return;
  label(g, words(piece.name), x + 6, y + 5, 'top');
}

/**
 * A mark is a small cross as taped on a floor; a walk is a dotted line that
 * ends in its cross.
 *
 * @param {CanvasRenderingContext2D} g
 * @param {NonNullable<Plan['marks']>[number]} mark
 * @param {View} view
 * @param {boolean} small
 */
function drawMark(g, mark, view, small) {
  const points = mark.points.map((p) => view.at(p));
  if (points.length === 0 || small) return;
  g.strokeStyle = LINE;
  if (points.length > 1) {
    g.setLineDash([1, 5]);
    g.lineCap = 'round';
    g.lineWidth = 1.6;
    g.beginPath();
    points.forEach(([x, y], i) => (i ? g.lineTo(x, y) : g.moveTo(x, y)));
    g.stroke();
    g.setLineDash([]);
    g.lineWidth = 1;
  }
  const [x, y] = points[points.length - 1];
  g.strokeStyle = TEXT;
  g.beginPath();
  g.moveTo(x - 4, y);
  g.lineTo(x + 4, y);
  g.moveTo(x, y - 4);
  g.lineTo(x, y + 4);
  g.stroke();
  const name = words(mark.name);
  g.font = FONT;
  const room = view.width - x - 9 > g.measureText(name).width;
  label(g, name, room ? x + 5 : x - 5 - g.measureText(name).width, y - 2, 'bottom');
}

/** A round length, in the corner. @param {CanvasRenderingContext2D} g @param {View} view */
export function drawScale(g, view) {
  const { metres, text } = roundLength(view.scale > 60 ? 1 : 2);
  const x = 12;
  const y = view.height - 11;
  const w = metres * view.scale;
  g.strokeStyle = TEXT;
  g.lineWidth = 1;
  g.beginPath();
  g.moveTo(x, y - 4);
  g.lineTo(x, y);
  g.lineTo(x + w, y);
  g.lineTo(x + w, y - 4);
  g.stroke();
  label(g, text, x + 5, y - 2, 'bottom');
}

/**
 * @param {CanvasRenderingContext2D} g
 * @param {string} text
 * @param {number} x
 * @param {number} y
 * @param {CanvasTextBaseline} baseline
 */
function label(g, text, x, y, baseline) {
  g.font = FONT;
  g.textAlign = 'left';
  g.textBaseline = baseline;
  g.lineJoin = 'round';
  g.lineWidth = 2.5;
  g.strokeStyle = RIM;
  g.strokeText(text, x, y);
  g.lineWidth = 1;
  g.fillStyle = TEXT;
  g.fillText(text, x, y);
}
