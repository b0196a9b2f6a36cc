// The plan from above in the light that is on the wire. It draws when a frame
// comes, not when the page's state changes.
// Use: `<${PlanPicture} plan=${plan} feed=${feed} label=${words} />`.

/** @import {Plan} from '../types' */
/** @import {Shown} from '../light/feed.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { draw } from '../light/drawing.js';
import { keepDrawn } from './draw.js';

/** @param {{plan: Plan | null, feed: Shown, label: string}} props */
export function PlanPicture({ plan, feed, label }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));

  useEffect(() => {
    const on = canvas.current;
    if (!plan || !on) return undefined;
    /** @type {ReturnType<typeof draw> | null} */
    let drawing = null;
    const dark = new Float32Array(0);
    return keepDrawn(/** @type {HTMLElement} */ (on.parentElement), feed, {
      size: (width, height) => {
        drawing = draw(on, plan, { width, height, dpr: Math.min(3, devicePixelRatio || 1) });
      },
      show: () => {
        const frame = feed.get();
        drawing?.light(frame && frame.revision === plan.revision ? frame.xyz : dark);
      },
    });
  }, [plan]);

  return html`<canvas ref=${canvas} role="img" aria-label=${label} data-test="plan"></canvas>`;
}
