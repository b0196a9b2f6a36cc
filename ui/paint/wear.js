// What the chosen cells are to wear: a colour of the cast, one of the map, or a
// white. A pattern has a place for each of its colours; one of them is in hand.
// Use: `<${Wear} look=${look} stroke=${stroke} hand=${0} ... />`.

/** @import {LookPaint, Stroke} from '../types' */
/** @import {UV} from './chart.js' */

import { html } from '../vendor/htm-preact.js';
import { cssColour, displayMatrix, swatch } from '../light/display.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { xyOf } from './chart.js';

/**
 * The cast with its colours; the character that the look wears comes first, as
 * its colours go with the look when it is worn by another.
 *
 * @param {{look: LookPaint, balance: [number, number], text: string, pick: (text: string) => void}} props
 */
export function Cast({ look, balance, text, pick }) {
  const m = displayMatrix(balance);
  const cast = [...look.cast].sort((a, b) => Number(b.name === look.wearing) - Number(a.name === look.wearing));
  if (cast.length === 0) return html`<p class="paint-empty">${texts.paint.noCast}</p>`;
  return html`
    <div class="cast">
      ${cast.map((c) => html`
        <h4>${words(c.name)}${c.name === look.wearing && html` <small>${texts.paint.wears}</small>`}</h4>
        ${c.colours.map((colour) => {
          const name = c.name === look.wearing ? colour.name : `${c.name}.${colour.name}`;
          const [x, y] = xyOf(colour.uv);
          return html`
            <button class="cast-colour" data-test=${`cast-${c.name}-${colour.name}`} aria-pressed=${String(text === name)} onClick=${() => pick(name)}>
              <i style=${{ background: cssColour(swatch(m, [x / y, 1, (1 - x - y) / y], 0.5, 0.18)) }}></i>${words(colour.name)}
            </button>
          `;
        })}
      `)}
    </div>
  `;
}

/**
 * Where a colour is on the map, when its text says: of the cast, of the map or a
 * white that the page wrote itself; null for others.
 *
 * @param {string} text
 * @param {LookPaint} look
 * @returns {UV | null}
 */
export function placeOf(text, look) {
  const uv = text.match(/^\{uv: \[([0-9.]+), ([0-9.]+)\]\}$/);
  if (uv) return [Number(uv[1]), Number(uv[2])];
  const [owner, name] = text.includes('.') && !text.startsWith('{') ? text.split('.') : [look.wearing, text];
  return look.cast.find((c) => c.name === owner)?.colours.find((c) => c.name === name)?.uv ?? null;
}

/**
 * @param {string} text
 * @returns {{kelvin: number, tint: number} | null} null for what is no white
 */
export function whiteOf(text) {
  const plain = text.match(/^([0-9.]+) K$/);
  if (plain) return { kelvin: Number(plain[1]), tint: 0 };
  const tinted = text.match(/^\{cct: ([0-9.]+) K, tint: (-?[0-9.]+)\}$/);
  return tinted ? { kelvin: Number(tinted[1]), tint: Number(tinted[2]) } : null;
}

/**
 * The places of a pattern: which colour is in hand.
 *
 * @param {{stroke: Stroke, hand: number, take: (i: number) => void, more: () => void, less: () => void}} props
 */
export function Places({ stroke, hand, take, more, less }) {
  return html`
    <div class="worn" role="group" aria-label=${texts.paint.colours}>
      ${stroke.colours.map((text, i) => html`
        <button class="worn-colour" data-test=${`worn-${i}`} aria-pressed=${String(i === hand)} onClick=${() => take(i)}>
          <small>${i + 1}</small> ${words(text)}
        </button>
      `)}
      ${stroke.pattern !== 'solid' && html`
        <button class="worn-more" onClick=${more} aria-label=${texts.paint.more} data-test="worn-more">+</button>
        ${stroke.colours.length > 2 && html`<button class="worn-more" onClick=${less} aria-label=${texts.paint.fewer}>−</button>`}
      `}
    </div>
  `;
}
