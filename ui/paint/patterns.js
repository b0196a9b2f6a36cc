// Patterns as small drawings: eight cells, in two colours.
// Use: `<${Patterns} pattern="solid" pick=${fn} />`.

/** @import {Stroke} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { PATTERNS } from './model.js';

/** How much of the second colour each of eight cells has. @type {Record<Stroke['pattern'], number[]>} */
const DRAWN = {
  solid: [0, 0, 0, 0, 0, 0, 0, 0],
  alternate: [0, 1, 0, 1, 0, 1, 0, 1],
  halves: [0, 0, 0, 0, 1, 1, 1, 1],
  gradient: [0, 0.14, 0.28, 0.43, 0.57, 0.72, 0.86, 1],
  mirror: [0, 0.33, 0.67, 1, 1, 0.67, 0.33, 0],
};

/** @param {{pattern: Stroke['pattern'], pick: (p: Stroke['pattern']) => void}} props */
export function Patterns({ pattern, pick }) {
  return html`
    <div class="patterns" role="group" aria-label=${texts.paint.patterns}>
      ${PATTERNS.map((p) => html`
        <button class="pattern" data-test=${`pattern-${p}`} aria-pressed=${String(p === pattern)} onClick=${() => pick(p)}>
          <svg viewBox="0 0 40 10" aria-hidden="true">
            ${DRAWN[p].map((share, i) => html`<rect x=${i * 5 + 0.5} y=${5 - 4.5 * (1 - 0.72 * share)} width="4" height=${9 * (1 - 0.72 * share)} />`)}
          </svg>
          ${texts.paint.pattern[p]}
        </button>
      `)}
    </div>
  `;
}
