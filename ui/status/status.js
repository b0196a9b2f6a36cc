// The one line on top: where we are, and how far what shows is confirmed.
// Use: `<${Status} state=${state} open=${fn} />`; the whole line is a button
// that opens the details.

/** @import {PageState} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { texts } from '../texts.js';
import { words } from '../format.js';
import { lostNodes } from '../network.js';

/** @param {{state: PageState, open: () => void}} props */
export function Status({ state, open }) {
  const { live, plan } = state;
  const place = live?.location ?? plan?.location;
  const link = linkWord(state);
  return html`
    <header class="status">
      <button class="status-line" onClick=${open} data-test="status">
        <span class="unseen">${texts.status.open}: </span>
        <span class="status-text">
          <span class="status-place">
            ${place ? words(place) : texts.status.noPlace}
            ${live?.setup && html`<span class="status-setup">${words(live.setup)}</span>`}
          </span>
          <span class="status-end">
            ${live?.hot && html`<${Fact} glyph="hot" text=${texts.status.hot} test="status-hot" boxed />`}
            ${live?.dry && html`<${Fact} glyph="dry" text=${texts.status.dry} test="status-dry" boxed />`}
            ${warnings(state) > 0 && html`<${Fact} glyph="warning" text=${String(warnings(state))} test="status-warnings" />`}
            <${Fact} ...${nodesFact(state)} test="status-nodes" />
            <${Fact} glyph=${link.glyph} text=${link.text} test="status-link" state=${state.link.phase} />
          </span>
        </span>
      </button>
    </header>
  `;
}

/** @param {{glyph: string, text: string, test: string, state?: string, boxed?: boolean}} props */
function Fact({ glyph, text, test, state, boxed }) {
  return html`
    <span class=${boxed ? 'fact fact-boxed' : 'fact'} data-test=${test} data-state=${state}>
      <${Glyph} name=${glyph} /><span class="fact-text">${text}</span>
    </span>
  `;
}

/** @param {PageState} state */
function linkWord({ link, sent }) {
  if (link.phase === 'lost') return { glyph: 'lost', text: texts.link.lost };
  if (link.phase === 'opening') return { glyph: 'linking', text: texts.link.opening };
  if (link.phase === 'pairing') return { glyph: 'linking', text: texts.link.pairing };
  if (sent) return { glyph: 'sent', text: texts.link.sent };
  return { glyph: 'linked', text: link.ms === null ? texts.link.up : texts.link.accepted(link.ms) };
}

/** @param {PageState} state */
function nodesFact({ live }) {
  const nodes = live?.nodes ?? [];
  const lost = lostNodes(live);
  if (nodes.length === 0) return { glyph: 'nodelost', text: texts.status.noNodes };
  if (lost.length > 0) return { glyph: 'nodelost', text: texts.status.nodesLost(lost.map((n) => n.name), nodes.length), state: 'lost' };
  return { glyph: 'node', text: texts.status.nodes(nodes.length) };
}

/** @param {PageState} state */
function warnings({ live }) {
  return live?.warnings?.length ?? 0;
}
