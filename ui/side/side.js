// Beside the pad: back, snap, the time that the stand-by's fade will take, and how it
// is counted in.
// Use: `<${Side} state=${state} verbs=${verbs} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { tap } from '../parts/tap.js';
import { standbyFade } from '../pad/phase.js';
import { time, words } from '../format.js';
import { texts } from '../texts.js';

/** @param {{state: PageState, verbs: Verbs}} props */
export function Side({ state, verbs }) {
  const back = state.live?.can_back;
  const running = Boolean(state.live?.fade);
  return html`
    <div class="side">
      <button
        class="slate"
        data-test="back"
        ...${tap(verbs.back)}
        aria-disabled=${String(!back)}
        aria-label=${back ? texts.side.backTo(back) : texts.side.backNone}
      >
        <span class="slate-name">${texts.side.back}</span>${' '}
        <span class="slate-says">${back ? words(back) : html`<${Glyph} name="empty" />`}</span>
      </button>
      <button class="slate" data-test="snap" ...${tap(verbs.snap)} aria-label=${running ? texts.side.snapFade : texts.side.snapNext}>
        <span class="slate-name">${texts.side.snap}</span>${' '}
        <span class="slate-says">${running ? texts.side.toEnd : texts.side.atOnce}</span>
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
    <div class="trim" role="group" aria-label=${texts.side.trim}>
      <button data-test="trim-more" ...${tap(() => verbs.trim(1))} aria-disabled=${String(!fade || fade.atMost)} aria-label=${texts.side.trimMore}>+</button>
      <button class="trim-value" data-test="count" ...${tap(verbs.countIn)} aria-label=${texts.rehearse.countLabel(state.rehearsal.countIn)} aria-describedby="trim-time">
        <span id="trim-time" data-test="trim" data-ms=${fade?.ms}>
          <b>${fade ? time(fade.ms) : ''}</b>
          <small>${fade ? texts.side.stepOf(written, fade.step) : ''}</small>
        </span>
        <small class="trim-count" data-on=${String(state.rehearsal.countIn !== '')} data-test="count-says">${texts.side.count(state.rehearsal.countIn)}</small>
      </button>
      <button data-test="trim-less" ...${tap(() => verbs.trim(-1))} aria-disabled=${String(!fade || fade.atLeast)} aria-label=${texts.side.trimLess}>−</button>
    </div>
  `;
}
