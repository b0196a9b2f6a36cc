// Says over whatever edits the show that the set is hot, and what waits for the cut.
// Use: `<${HotNote} state=${state} />`; nothing while the set is not hot.

/** @import {PageState} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { texts } from '../texts.js';
import { slateOf, takeName } from './slate.js';

/** @param {{state: PageState}} props */
export function HotNote({ state }) {
  const { live } = state;
  if (!live?.hot) return null;
  const h = texts.hot;
  return html`
    <div class="hot-note" role="note" data-test="hot-note">
      <${Glyph} name="hot" />
      <span>
        <b>${h.rolls(takeName(slateOf(state)))}</b> ${h.edits}${Boolean(live.waiting) && html` <span data-test="hot-waits">${h.waits(live.waiting ?? 0)}</span>`}
        ${live.take?.kept === false && html`<span class="hot-lost" data-test="unkept">${h.unkept}</span>`}
      </span>
    </div>
  `;
}
