// The corner of the slate beside the places: roll and cut in one tap from the set.
// Use: `<${TakeCorner} state=${state} act=${fn} slate=${fn} />`; slate opens the takes.

/** @import {PageState} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { tap } from '../parts/tap.js';
import { texts } from '../texts.js';
import { TakeClock } from './clock.js';
import { slateOf, takeCommand, takeName } from './slate.js';

/** @param {{state: PageState, act: (() => void) | null, slate: () => void}} props act is null for who makes no takes */
export function TakeCorner({ state, act, slate }) {
  const { live } = state;
  if (!live?.next_take) return null; // no takes are written down here
  const t = texts.takes;
  const name = takeName(slateOf(state));
  const hot = Boolean(live.hot && live.take);
  const ready = Boolean(takeCommand(state));
  const unkept = hot && live.take?.kept === false;
  if (!act) {
    return hot && live.take && html`<p class="take-corner" data-test="take" data-hot="true"><span class="take-corner-does">${t.rolling}</span><span class="take-corner-says"><${TakeClock} take=${live.take} /></span></p>`;
  }
  return html`
    <button class="take-corner" data-test="take" data-hot=${String(hot)} ...${tap(ready ? act : slate)}>
      <span class="unseen">${hot ? t.cutLabel(name) : ready ? t.rollLabel(name) : t.nameFirst}: </span>
      <span class="take-corner-does"><${Glyph} name=${hot ? 'cut' : 'roll'} />${hot ? t.cut : ready ? t.roll : t.slate}</span>
      <span class="take-corner-says">${hot && live.take ? html`<${TakeClock} take=${live.take} />` : ready ? name : t.toWrite}${unkept && html` <${Glyph} name="warning" />`}</span>
    </button>
  `;
}
