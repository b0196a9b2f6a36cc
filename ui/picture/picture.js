// The live picture: the plan from above in the light that is on the wire.
// Use: `<${Picture} state=${state} feed=${feed} />`. It draws when a frame
// comes, not when the page's state changes.

/** @import {PageState, Plan} from '../types' */
/** @import {Feed} from '../light/feed.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { draw } from '../light/drawing.js';
import { en } from '../en.js';

/** @param {{state: PageState, feed: Feed}} props */
export function Picture({ state, feed }) {
  const { plan, live } = state;
  const stale = state.link.phase === 'lost';
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));

  useEffect(() => {
    if (!plan || !canvas.current) return undefined;
    return keepDrawn(canvas.current, plan, feed);
  }, [plan]);

  return html`
    <figure class=${stale ? 'picture picture-stale' : 'picture'} data-test="picture" data-stale=${String(stale)}>
      <canvas
        ref=${canvas}
        role="img"
        aria-label=${plan ? en.picture.label(plan.location, live?.look ?? '') : en.picture.waiting}
      ></canvas>
      ${!plan && html`<figcaption class="picture-empty">${en.picture.waiting}</figcaption>`}
      ${plan && !plan.lamps?.length && html`<figcaption class="picture-empty">${en.picture.noLamps}</figcaption>`}
      ${stale && plan && html`<figcaption class="picture-note">${en.picture.stale}</figcaption>`}
    </figure>
  `;
}

/**
 * Draws each frame of the feed that is of this plan, in the size that the
 * canvas has.
 *
 * @param {HTMLCanvasElement} canvas
 * @param {Plan} plan
 * @param {Feed} feed
 * @returns {() => void} ends it
 */
function keepDrawn(canvas, plan, feed) {
  /** @type {ReturnType<typeof draw> | null} */
  let drawing = null;
  let asked = 0;
  const dark = new Float32Array(0);

  function show() {
    asked = 0;
    const frame = feed.get();
    drawing?.light(frame && frame.revision === plan.revision ? frame.xyz : dark);
  }

  function ask() {
    if (!asked) asked = requestAnimationFrame(show);
  }

  const sizes = new ResizeObserver(([entry]) => {
    const { width, height } = entry.contentRect;
    if (width < 8 || height < 8) return;
    drawing = draw(canvas, plan, { width, height, dpr: Math.min(3, devicePixelRatio || 1) });
    ask();
  });
  sizes.observe(/** @type {HTMLElement} */ (canvas.parentElement));
  const unsubscribe = feed.subscribe(ask);

  return () => {
    sizes.disconnect();
    unsubscribe();
    cancelAnimationFrame(asked);
  };
}
