// The slate: scene, slate and take in large letters, the one button that rolls and
// cuts, the clock of the take, and what is to be said of it at once.

/** @import {PageState, SlateDraft, TakeMark} from '../types' */
/** @import {Verbs} from '../verbs.js' */
/** @import {BookVerbs} from './book.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { words } from '../format.js';
import { TakeClock } from '../hot/clock.js';
import { slateOf, takeCommand, takeName } from '../hot/slate.js';
import { Glyph } from '../parts/glyph.js';
import { tap } from '../parts/tap.js';
import { Line } from './line-of-text.js';

/** The most letters of a scene or a slate; the daemon's cues/take has the same. */
const LONGEST = 32;
/** After this what nobody answered is asked again, ms. */
const AGAIN_MS = 2000;

/** @param {{state: PageState, verbs: Verbs, update: (change: Partial<PageState>) => void, book: BookVerbs}} props */
export function SlateBoard({ state, verbs, update, book }) {
  const { live, plan } = state;
  const t = texts.takes;
  const s = slateOf(state);
  const hot = Boolean(live?.hot && live.take);
  const newest = useRef(state);
  newest.current = state;
  /** @param {Partial<SlateDraft>} change */
  const write = (change) => update({ slate: { ...newest.current.slate, ...change } });
  const foreign = !hot && s.number === null && Boolean(s.scene || s.slate);
  useEffect(() => {
    if (!foreign) return undefined;
    /** @type {any} */
    let again = null;
    const count = () => void book.counted(s.scene, s.slate).then((counted) => {
      const now = slateOf(newest.current);
      if (now.scene !== s.scene || now.slate !== s.slate) return;
      if (counted === null) again = setTimeout(count, AGAIN_MS);
      else write({ counted });
    });
    count();
    return () => clearTimeout(again);
  }, [foreign, s.scene, s.slate]);

  return html`
    <div class="board" data-test="board" data-hot=${String(hot)}>
      <div class="board-row">
        <${Field} name="scene" label=${t.scene} value=${s.scene} fixed=${hot} write=${(/** @type {string} */ v) => write({ scene: v, number: null, counted: null })} />
        <${Field} name="slate" label=${t.slateName} value=${s.slate} fixed=${hot} write=${(/** @type {string} */ v) => write({ slate: v, number: null, counted: null })} />
        <${Field} name="number" label=${t.take} value=${s.number ?? ''} fixed=${hot} digits=${true} hint=${s.byHand ? t.byHand : t.counts}
          write=${(/** @type {string} */ v) => write({ number: Number.parseInt(v, 10) > 0 ? Number.parseInt(v, 10) : null })} />
      </div>
      <button class="roll" data-test="roll" data-hot=${String(hot)} aria-disabled=${String(!takeCommand(state))} ...${tap(verbs.take)}
        aria-label=${hot ? t.cutLabel(takeName(s)) : t.rollLabel(takeName(s))}>
        <${Glyph} name=${hot ? 'cut' : 'roll'} />
        <span class="roll-word">${hot ? t.cut : t.roll}</span>
        <span class="roll-says">${hot && live?.take ? html`<${TakeClock} take=${live.take} />` : t.rollWhat}</span>
      </button>
      ${!hot && Boolean(plan?.setups?.length) && html`
        <label class="board-setup">${t.setup}
          <select data-test="slate-setup" onChange=${(/** @type {any} */ e) => write({ setup: e.currentTarget.value })}>
            <option value="" selected=${!s.setup}>${t.noSetup}</option>
            ${plan?.setups?.map((u) => html`<option value=${u.name} selected=${u.name === s.setup}>${words(u.name)}</option>`)}
          </select>
        </label>
      `}
      <${Newest} take=${live?.take ?? live?.last_take} verbs=${verbs} />
    </div>
  `;
}

/**
 * One large word of the slate.
 *
 * @param {{name: string, label: string, value: string | number, fixed: boolean, digits?: boolean, hint?: string, write: (v: string) => void}} props
 */
function Field({ name, label, value, fixed, digits, hint, write }) {
  return html`
    <label class="board-field">
      <span>${label}${hint && !fixed && html` <small>${hint}</small>`}</span>
      <input data-test=${`slate-${name}`} value=${value} readonly=${fixed} maxlength=${LONGEST} size="3" autocomplete="off" autocapitalize="characters" spellcheck="false" enterkeyhint="done"
        inputmode=${digits ? 'numeric' : 'text'} onInput=${(/** @type {any} */ e) => write(e.currentTarget.value)} onKeyDown=${(/** @type {any} */ e) => e.key === 'Enter' && e.currentTarget.blur()} />
    </label>
  `;
}

/** What is to be said of a take while it rolls, or just after. @param {{take: TakeMark | null | undefined, verbs: Verbs}} props */
function Newest({ take, verbs }) {
  if (!take) return null;
  const t = texts.takes;
  const kept = take.kept === null ? t.keeping : take.kept ? t.kept : t.unkept;
  return html`
    <div class="newest" data-test="newest" data-kept=${String(take.kept)}>
      <p class="newest-head"><b>${takeName(take)}</b> <span data-test="kept">${take.kept === false && html`<${Glyph} name="warning" /> `}${kept}</span>
        <${Circle} take=${take} circle=${(/** @type {boolean} */ on) => verbs.changeTake(take.id, { circled: on })} />
      </p>
      <${Line} key=${take.id} name="newest-note" label=${t.note} value=${take.note} save=${(/** @type {string} */ note) => verbs.changeTake(take.id, { note })} />
    </div>
  `;
}

/** The mark of a good take. @param {{take: {circled: boolean, scene: string, slate: string, number: number}, circle: (on: boolean) => void}} props */
export function Circle({ take, circle }) {
  const t = texts.takes;
  return html`
    <button class="circle" data-test="circle" aria-pressed=${String(take.circled)} onClick=${() => circle(!take.circled)} aria-label=${`${takeName(take)}: ${take.circled ? t.circled : t.circle}`}>
      <span class="circle-ring" aria-hidden="true">${take.number}</span>${take.circled ? t.circled : t.circle}
    </button>
  `;
}
