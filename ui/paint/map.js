// The u'v' map: all colours there are, those that the chosen lamps can all
// show, and the one that is asked for. A finger picks.
// Use: `<${UVMap} reach=${corners} asked=${[uv]} reached=${[uv]} balance=${xy} pick=${fn} />`.

/** @import {Matrix} from '../light/display.js' */
/** @import {UV} from './chart.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { cssColour, displayMatrix, swatch } from '../light/display.js';
import { slide, step } from '../parts/slide.js';
import { texts } from '../texts.js';
import { CHART, LOCUS, intoLocus, planckian, xyOf } from './chart.js';

/** Colours on the map stay this dim: it must not light a face. */
const MOST = 0.22;
const MOST_LUMINANCE = 0.06;
/** Of the arrow keys, in u' or v'. */
const STEP = 0.004;

/**
 * @param {{reach: UV[], asked: UV[], reached: UV[], balance: [number, number], at: UV, pick: (uv: UV) => void}} props
 *   asked and reached are pairs of what was asked and what lamps come to
 */
export function UVMap({ reach, asked, reached, balance, at, pick }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const ground = useRef(/** @type {HTMLCanvasElement | null} */ (null));

  useEffect(() => {
    ground.current = coloured(displayMatrix(balance));
  }, [balance[0], balance[1]]);
  useEffect(() => {
    if (canvas.current && ground.current) paint(canvas.current, ground.current, { reach, asked, reached, at });
  });

  const fingers = slide((across, down) => pick(intoLocus([CHART.u + across * CHART.width, CHART.v + (1 - down) * CHART.height])));
  /** @param {KeyboardEvent} e */
  const key = (e) => step(e, (right, up) => pick(intoLocus([at[0] + right * STEP, at[1] + up * STEP])));

  return html`
    <canvas
      class="uvmap" ref=${canvas} tabindex="0" data-test="uvmap" role="slider" aria-label=${texts.paint.map}
      aria-valuetext=${texts.paint.uv(at[0], at[1])} aria-valuenow=${Math.round(1000 * at[0])} onKeyDown=${key}
      ...${fingers}
    ></canvas>
  `;
}

/** The colours of the chart, dim, as a small picture. @param {Matrix} m */
function coloured(m) {
  const size = 96;
  const on = document.createElement('canvas');
  on.width = size;
  on.height = Math.round((size * CHART.height) / CHART.width);
  const g = /** @type {CanvasRenderingContext2D} */ (on.getContext('2d'));
  for (let row = 0; row < on.height; row++) {
    for (let col = 0; col < size; col++) {
      const [x, y] = xyOf([CHART.u + ((col + 0.5) / size) * CHART.width, CHART.v + (1 - (row + 0.5) / on.height) * CHART.height]);
      if (y <= 0) continue;
      g.fillStyle = cssColour(swatch(m, [x / y, 1, (1 - x - y) / y], MOST, MOST_LUMINANCE));
      g.fillRect(col, row, 1, 1);
    }
  }
  return on;
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {HTMLCanvasElement} ground
 * @param {{reach: UV[], asked: UV[], reached: UV[], at: UV}} what
 */
function paint(canvas, ground, { reach, asked, reached, at }) {
  const dpr = Math.min(3, devicePixelRatio || 1);
  const width = canvas.clientWidth;
  const height = (width * CHART.height) / CHART.width;
  canvas.width = Math.round(width * dpr);
  canvas.height = Math.round(height * dpr);
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  g.setTransform(dpr, 0, 0, dpr, 0, 0);
  const style = getComputedStyle(canvas);
  /** @param {UV} p @returns {[number, number]} */
  const px = ([u, v]) => [((u - CHART.u) / CHART.width) * width, (1 - (v - CHART.v) / CHART.height) * height];
  /** @param {UV[]} points @param {boolean} close */
  const path = (points, close) => {
    g.beginPath();
    points.forEach((p, i) => (i ? g.lineTo(...px(p)) : g.moveTo(...px(p))));
    if (close) g.closePath();
  };

  g.save();
  path(LOCUS, true);
  g.clip();
  g.drawImage(ground, 0, 0, width, height);
  g.restore();
  g.lineWidth = 1.2;
  g.strokeStyle = style.getPropertyValue('--line');
  path(LOCUS, true);
  g.stroke();
  path([1700, 2000, 2500, 3200, 4000, 5000, 6500, 9000, 15000, 25000].map(planckian), false);
  g.stroke();
  g.lineWidth = 2;
  g.strokeStyle = style.getPropertyValue('--text');
  if (reach.length > 2) {
    path(reach, true);
    g.stroke();
  }
  asked.forEach((a, i) => {
    const b = reached[i];
    g.lineWidth = 1.2;
    g.beginPath();
    g.moveTo(...px(a));
    g.lineTo(...px(b));
    g.stroke();
    const [x, y] = px(b);
    g.strokeRect(x - 3, y - 3, 6, 6);
  });
  g.lineWidth = 2;
  g.strokeStyle = style.getPropertyValue('--accent');
  const [x, y] = px(at);
  g.beginPath();
  g.arc(x, y, 8, 0, 2 * Math.PI);
  g.moveTo(x - 13, y);
  g.lineTo(x - 4, y);
  g.moveTo(x + 4, y);
  g.lineTo(x + 13, y);
  g.stroke();
}
