// Small shapes that tell state without colour. Drawn on a field of 16 by 16.

import { html } from '../vendor/htm-preact.js';

/** @type {Record<string, ReturnType<typeof html>>} */
const SHAPES = {
  standby: html`<path d="M8 2.5 13.5 8 8 13.5 2.5 8z" />`,
  done: html`<path class="solid" d="M8 2.5 13.5 8 8 13.5 2.5 8z" />`,
  sent: html`<path d="M3.5 8.5 8 4l4.5 4.500M3.5 13 8 8.500l4.5 4.5" />`,
  running: html`<path class="solid" d="M8 2.5 14 13.5H2z" />`,
  counting: html`<g><circle cx="8" cy="8" r="5.5" /><path d="M8 4.500V8l2.5 2" /></g>`,
  riding: html`<path d="M8 14V2.500M4 6l4-4 4 4M4 14h8" />`,
  held: html`<path d="M3 6h10M3 10.500h10" />`,
  refused: html`<path d="M3.5 3.500l9 9M12.5 3.500l-9 9" />`,
  killed: html`<g><circle cx="8" cy="8" r="5.5" /><path d="M4.2 11.800l7.6-7.6" /></g>`,
  lost: html`<path d="M2.5 8a5.5 5.5 0 0 1 4-5.300M13.5 8a5.5 5.5 0 0 1-4 5.300M2.5 13.5l3-3M13.5 2.500l-3 3" />`,
  dry: html`<circle cx="8" cy="8" r="5.5" stroke-dasharray="2 2.8" />`,
  empty: html`<path d="M4 8h8" />`,
  linked: html`<g><circle cx="8" cy="8" r="5.5" /><circle class="solid" cx="8" cy="8" r="1.8" /></g>`,
  linking: html`<circle cx="8" cy="8" r="5.5" stroke-dasharray="8.6 3" />`,
  node: html`<path class="solid" d="M3.5 3.500h9v9h-9z" />`,
  nodelost: html`<path d="M3.5 3.500h9v9h-9zM2 14 14 2" />`,
  hot: html`<g><path class="solid" d="M2.5 8a5.5 5.5 0 0 1 11 0z" /><path d="M2.5 8a5.5 5.5 0 0 0 11 0" /></g>`,
  roll: html`<circle cx="8" cy="8" r="5.5" />`,
  cut: html`<path class="solid" d="M3 3h10v10H3z" />`,
  warning: html`<path d="M8 2.5 14 13H2zM8 6.500v3M8 11.300v.2" />`,
  torch: html`<path d="M5.5 8.500h5L9.5 14h-3zM8 1.500c.8 2.3 2.5 2.7 2.5 5h-5c0-2.3 1.7-2.7 2.5-5z" />`,
  back: html`<path d="M6 3.5 2.5 7 6 10.500M3 7h6.500a3.5 3.5 0 0 1 0 7H7" />`,
  snap: html`<path d="M3 2.500h10M8 14V6M4.5 9.5 8 6l3.5 3.5" />`,
  up: html`<path d="M3.5 10 8 5.500l4.5 4.5" />`,
};

/**
 * Use: `<${Glyph} name="held" />`. Hidden from screen readers: a word stands beside it.
 *
 * @param {{name: string}} props
 */
export function Glyph({ name }) {
  return html`<svg class="glyph" viewBox="0 0 16 16" aria-hidden="true">${SHAPES[name] ?? SHAPES.empty}</svg>`;
}
