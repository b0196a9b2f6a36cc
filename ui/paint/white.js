// Whites: the temperature along, the tint across.
// Use: `<${WhiteStrip} kelvin=${4300} tint=${0} balance=${xy} pick=${fn} />`.

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { cssColour, displayMatrix, swatch } from '../light/display.js';
import { slide, step } from '../parts/slide.js';
import { texts } from '../texts.js';
import { planckian, xyOf } from './chart.js';

/** Mired at the left and at the right: 10000 K to 1800 K. */
const COLD = 100;
const WARM = 555;
/** Duv at the bottom and at the top. */
const TINT = 0.02;
/** Of the arrow keys. */
const STEP_MIRED = 10;
const STEP_DUV = 0.004;
const MOST = 0.3;
const MOST_LUMINANCE = 0.09;

/** @param {{kelvin: number, tint: number, balance: [number, number], pick: (kelvin: number, tint: number) => void}} props */
export function WhiteStrip({ kelvin, tint, balance, pick }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const mired = 1e6 / kelvin;
  useEffect(() => {
    if (canvas.current) fill(canvas.current, balance);
  }, [balance[0], balance[1]]);

  const fingers = slide((across, down) => set(COLD + share(across) * (WARM - COLD), TINT * (1 - 2 * share(down))));
  /** @param {KeyboardEvent} e */
  const key = (e) => step(e, (right, up) => set(mired + right * STEP_MIRED, tint + up * STEP_DUV));

  /** @param {number} m @param {number} duv */
  function set(m, duv) {
    const k = 1e6 / Math.min(WARM, Math.max(COLD, m));
    const near = Math.abs(duv) < TINT / 8 ? 0 : Math.min(TINT, Math.max(-TINT, duv));
    pick(Math.round(k / 50) * 50, Math.round(near * 1000) / 1000);
  }

  return html`
    <div class="whites">
      <canvas
        ref=${canvas} tabindex="0" role="slider" data-test="whites" aria-label=${texts.paint.whites} aria-valuenow=${kelvin}
        aria-valuetext=${texts.paint.white(kelvin, tint)} onKeyDown=${key}
        ...${fingers}
      ></canvas>
      <i class="whites-at" style=${{ left: `${(100 * (mired - COLD)) / (WARM - COLD)}%`, top: `${50 - (50 * tint) / TINT}%` }}></i>
      <p>${texts.paint.white(kelvin, tint)}</p>
    </div>
  `;
}

/** A finger may slide off. @param {number} v */
const share = (v) => Math.min(1, Math.max(0, v));

/** @param {HTMLCanvasElement} canvas @param {[number, number]} balance */
function fill(canvas, balance) {
  const m = displayMatrix(balance);
  canvas.width = 64;
  canvas.height = 17;
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  for (let col = 0; col < canvas.width; col++) {
    const kelvin = 1e6 / (COLD + ((col + 0.5) / canvas.width) * (WARM - COLD));
    const [u, v] = planckian(kelvin);
    const [du, dv] = planckian(kelvin * 1.01);
    // Across is square to the locus in u, v of 1960, of which v' is 1.5 v; Duv is a length there.
    const [tu, tv] = [du - u, (dv - v) / 1.5];
    const d = Math.hypot(tu, tv);
    for (let row = 0; row < canvas.height; row++) {
      const duv = TINT * (1 - (2 * (row + 0.5)) / canvas.height);
      const [x, y] = xyOf([u + (tv / d) * duv, v - (tu / d) * duv * 1.5]);
      g.fillStyle = cssColour(swatch(m, [x / y, 1, (1 - x - y) / y], MOST, MOST_LUMINANCE));
      g.fillRect(col, row, 1, 1);
    }
  }
}
