// One take opened: what was on when, as shot, what differs now, notes, photos, and
// what it was shot with.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */
/** @import {Book, BookVerbs} from './book.js' */
/** @import {Take} from './types' */

import { html, useEffect, useState } from '../vendor/htm-preact.js';
import { Said } from '../parts/said.js';
import { texts } from '../texts.js';
import { time, words } from '../format.js';
import { takeName } from '../hot/slate.js';
import { DifferenceTable } from './difference-table.js';
import { Line } from './line-of-text.js';
import { Photos } from './photos.js';
import { Circle } from './slate-board.js';
import { cameraWords, eventTimes, eventWords, overallWords, ran, readingWords, recalledWords, wall } from './telling.js';

/** @param {{state: PageState, book: BookVerbs, b: Book, verbs: Verbs}} props */
export function OpenTake({ state, book, b, verbs }) {
  const take = /** @type {Take} */ (b.open);
  const t = texts.takes;
  const long = ran(take);
  const { live } = state;
  // What was compared is compared again when the set has changed.
  useEffect(() => void (b.differs && book.differs()), [live?.look, live?.as_shot?.event, live?.overall, live?.fade === null, live?.location]);
  /** @param {Record<string, unknown>} change */
  const change = (change) => verbs.changeTake(take.id, change).then((ok) => void (ok && book.refresh()));
  return html`
    <article class="open-take" data-test="open-take" data-take=${take.id} aria-label=${t.open(takeName(take))}>
      <header class="open-head">
        <button class="view" data-test="all-takes" onClick=${book.close}>‹ ${t.all}</button>
        <h3>${takeName(take)}</h3>
        <${Circle} take=${take} circle=${(/** @type {boolean} */ on) => change({ circled: on })} />
      </header>
      <p class="open-when">
        ${wall(take.rolled).day} ${wall(take.rolled).time}, ${words(take.location)}${take.setup && html`, ${words(take.setup)}`} · ${long === null ? t.rolling : time(long)}
        <small>${take.from.in || take.from.day}${long !== null && html` – ${take.to.in || take.to.day}`}</small>
        ${take.broken && html`<b>${t.broken}</b>`}${take.lost > 0 && html` <b>${t.lost(take.lost)}</b>`}
      </p>
      <${Line} key=${`note-${take.id}`} name="take-note" label=${t.note} value=${take.note} save=${(/** @type {string} */ note) => change({ note })} />
      <${Line} key=${`clip-${take.id}`} name="take-clip" label=${t.clip} value=${take.clip} most=${32} save=${(/** @type {string} */ clip) => change({ clip })} />
      <h4>${t.events}</h4>
      <${Events} take=${take} chosen=${b.event} choose=${book.choose} />
      <${PutBack} state=${state} take=${take} event=${b.event} verbs=${verbs} />
      <button class="choice" data-test="differs" onClick=${() => book.differs()}>${t.differsNow}<small>${t.differsWhat}</small></button>
      ${b.differs && html`<${DifferenceTable} differs=${b.differs} />`}
      <${Photos} take=${take} photos=${b.photos} busy=${b.busy === 'photo'} add=${book.photo} />
      <${ShotWith} take=${take} />
      <${PutRight} take=${take} change=${change} />
    </article>
  `;
}

/** The moments of a take; one is chosen. @param {{take: Take, chosen: number, choose: (n: number) => void}} props */
function Events({ take, chosen, choose }) {
  return html`
    <ol class="events" role="radiogroup" aria-label=${texts.takes.choose} data-test="events">
      ${(take.events ?? []).map((e, i, all) => {
        const at = eventTimes(take, e);
        const under = overallWords(e);
        return html`
          <li>
            <label class="event" data-chosen=${String(e.n === chosen)}>
              <input type="radio" name="event" class="unseen" data-test=${`event-${e.n}`} checked=${e.n === chosen} onChange=${() => choose(e.n)} />
              <span class="event-mark" aria-hidden="true"></span>
              <span class="event-after">${at.after}</span>
              <span class="event-what">${eventWords(e, all[i - 1]?.location)}${under && html` <small>${under}</small>`}</span>
              <span class="event-code">${at.code}</span>
            </label>
          </li>
        `;
      })}
    </ol>
  `;
}

/** As shot. @param {{state: PageState, take: Take, event: number, verbs: Verbs}} props */
function PutBack({ state, take, event, verbs }) {
  const t = texts.takes;
  const [fade, setFade] = useState('1 s');
  const { live } = state;
  const hot = Boolean(live?.hot);
  const on = live?.as_shot?.take === take.id ? live.as_shot : null;
  const moment = (/** @type {number} */ n) => {
    const e = take.events?.find((x) => x.n === n);
    return e ? `${eventTimes(take, e).after} ${eventWords(e)}` : '';
  };
  return html`
    <div class="put-back">
      <button class="put-back-do" data-test="as-shot" aria-disabled=${String(hot)} onClick=${() => !hot && verbs.asShot(take.id, event, fade)}>
        ${t.asShot}<small>${hot ? t.asShotHot : t.asShotWhat(moment(event))}</small>
      </button>
      <label class="put-back-fade">${t.fade}
        <select data-test="as-shot-fade" onChange=${(/** @type {any} */ e) => setFade(e.currentTarget.value)}>
          ${t.fades.map(([value, says]) => html`<option value=${value} selected=${value === fade}>${says}</option>`)}
        </select>
      </label>
    </div>
    ${on && html`
      <div class="recalled" role="status" data-test="recalled" data-event=${on.event}>
        <p><b>${t.isOn(on.name, moment(on.event))}</b></p>
        <ul>${recalledWords(on).map((line) => html`<li>${line}</li>`)}</ul>
      </div>
    `}
  `;
}

/** @param {{take: Take}} props */
function ShotWith({ take }) {
  const t = texts.takes;
  return html`
    <h4>${t.shot}</h4>
    <p data-test="camera">${cameraWords(take)}</p>
    ${take.tempo.bpm > 0 && html`<p>${t.tempo}: ${t.bpm(take.tempo)}</p>`}
    ${take.warnings.length > 0 && html`<h4>${t.warnings}</h4><ul>${take.warnings.map((w) => html`<${Said} text=${w} tag="li" />`)}</ul>`}
    ${take.readings.length > 0 && html`<h4>${t.readings}</h4><ul>${take.readings.map((r) => html`<li>${readingWords(r)}</li>`)}</ul>`}
  `;
}

/** The slate of a take that was called wrong. @param {{take: Take, change: (c: Record<string, unknown>) => void}} props */
function PutRight({ take, change }) {
  const t = texts.takes;
  if (!take.cut) return null;
  return html`
    <details class="put-right" data-test="put-right">
      <summary>${t.putRight}</summary>
      <${Line} key=${`scene-${take.id}`} name="right-scene" label=${t.scene} value=${take.scene} most=${32} save=${(/** @type {string} */ scene) => change({ scene })} />
      <${Line} key=${`slate-${take.id}`} name="right-slate" label=${t.slateName} value=${take.slate} most=${32} save=${(/** @type {string} */ slate) => change({ slate })} />
      <${Line} key=${`number-${take.id}`} name="right-number" label=${t.take} value=${String(take.number)} most=${4} save=${(/** @type {string} */ n) => Number.parseInt(n, 10) > 0 && change({ number: Number.parseInt(n, 10) })} />
    </details>
  `;
}
