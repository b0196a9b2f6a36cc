// Beside the pad: back, snap, and the time that the stand-by's fade will take.
// Use: `<${Side} state=${state} verbs=${verbs} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { standbyFade } from '../pad/phase.js';
import { time, words } from '../format.js';
import { en } from '../en.js';

/** @param {{state: PageState, verbs: Verbs}} props */
export function Side({ state, verbs }) {
  const back = state.live?.can_back;
  const running = Boolean(state.live?.fade);
  return html`
    <div class="side">
      <button
        class="side-back"
        data-test="back"
        onClick=${verbs.back}
        aria-disabled=${String(!back)}
        aria-label=${back ? en.side.backTo(back) : en.side.backNone}
      >
        <${Glyph} name="back" /><span>${en.side.back}</span>${back && html`<i>${words(back)}</i>`}
      </button>
      <button class="side-snap" data-test="snap" onClick=${verbs.snap} aria-label=${running ? en.side.snapFade : en.side.snapNext}>
        <${Glyph} name="snap" /><span>${en.side.snap}</span>
      </button>
      <${Trim} state=${state} verbs=${verbs} />
    </div>
  `;
}

/** @param {{state: PageState, verbs: Verbs}} props */
function Trim({ state, verbs }) {
  const fade = standbyFade(state);
  const written = state.live?.standby?.fade_ms ?? 0;
  return html`
    <div class="trim" role="group" aria-label=${en.side.trim}>
      <button data-test="trim-more" onClick=${() => verbs.trim(1)} aria-disabled=${String(!fade || fade.atMost)} aria-label=${en.side.trimMore}>+</button>
      <span class="trim-value" data-test="trim" data-ms=${fade?.ms}>
        <b>${fade ? time(fade.ms) : ''}</b>
        <small>${fade ? en.side.stepOf(written, fade.step) : ''}</small>
      </span>
      <button data-test="trim-less" onClick=${() => verbs.trim(-1)} aria-disabled=${String(!fade || fade.atLeast)} aria-label=${en.side.trimLess}>−</button>
    </div>
  `;
}
