// The takes that were found, the newest first, and what finds them.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */
/** @import {Book, BookVerbs} from './book.js' */
/** @import {Take} from './types' */

import { html, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { time, words } from '../format.js';
import { takeName } from '../hot/slate.js';
import { exportPath, isAll } from './query.js';
import { ran, tenths, wall } from './telling.js';

/** @param {{state: PageState, book: BookVerbs, b: Book, verbs: Verbs}} props */
export function TakeList({ state, book, b }) {
  const t = texts.takes;
  const [finding, setFinding] = useState(!isAll(b.query));
  return html`
    <div class="takes-head">
      <span data-test="takes-count">${b.takes ? t.count(b.takes.length, b.total) : t.reading}</span>
      <button class="view" data-test="find" aria-expanded=${String(finding)} aria-pressed=${String(finding)} onClick=${() => setFinding(!finding)}>${t.find}</button>
      <button class="view" data-test="only-circled" aria-pressed=${String(b.query.circled)} onClick=${() => book.find({ circled: !b.query.circled })}>${t.onlyCircled}</button>
    </div>
    ${finding && html`<${Finder} state=${state} book=${book} b=${b} />`}
    ${b.takes?.length === 0 && html`<p class="takes-says" data-test="takes-empty">${isAll(b.query) ? t.empty : t.nothing}</p>`}
    <ol class="take-list" data-test="take-list">
      ${b.takes?.map((take) => html`<${Row} key=${take.id} take=${take} open=${() => book.open(take.id)} />`)}
    </ol>
    ${b.takes && b.takes.length < b.total && html`<button class="choice" data-test="more" onClick=${() => book.more()}>${t.more}</button>`}
    ${Boolean(b.takes?.length) && html`<${Exports} b=${b} />`}
  `;
}

/** @param {{state: PageState, book: BookVerbs, b: Book}} props */
function Finder({ state, book, b }) {
  const t = texts.takes;
  const looks = state.plan?.looks ?? [];
  return html`
    <form class="finder" role="search" onSubmit=${(/** @type {Event} */ e) => e.preventDefault()}>
      <label>${t.scene}<input data-test="find-scene" value=${b.query.scene} size="4" autocomplete="off" onChange=${(/** @type {any} */ e) => book.find({ scene: e.currentTarget.value.trim() })} /></label>
      <label>${t.look}
        <select data-test="find-look" onChange=${(/** @type {any} */ e) => book.find({ look: e.currentTarget.value })}>
          <option value="" selected=${!b.query.look}>${t.anyLook}</option>
          ${looks.map((l) => html`<option value=${l.name} selected=${l.name === b.query.look}>${words(l.name)}</option>`)}
        </select>
      </label>
      <label>${t.day}<input type="date" data-test="find-day" value=${b.query.day} onChange=${(/** @type {any} */ e) => book.find({ day: e.currentTarget.value })} /></label>
    </form>
  `;
}

/** One take of the list. @param {{take: Take, open: () => void}} props */
function Row({ take, open }) {
  const t = texts.takes;
  const long = ran(take);
  const odd = [take.broken && t.broken, take.lost > 0 && t.lost(take.lost)].filter(Boolean).join(', ');
  return html`
    <li>
      <button class="take-row" data-test="take-row" data-take=${take.id} onClick=${open}>
        <span class="take-name">${take.scene}/${take.slate}/<b class=${take.circled ? 'ringed' : ''}>${take.number}</b>${take.circled && html`<span class="unseen">, ${t.circled}</span>`}</span>
        <span class="take-when">${wall(take.rolled).day} ${wall(take.rolled).time} · ${long === null ? t.rolling : time(long)}</span>
        <span class="take-looks">${looksOf(take).map(({ look, at }, i) => html`${i > 0 && html`<i aria-hidden="true"> › </i>`}<span>${words(look)}${at && html` <small>${at}</small>`}</span>`)}</span>
        ${(take.note || take.photos > 0 || odd) && html`
          <span class="take-note">${[take.note, take.photos > 0 && t.photos(take.photos)].filter(Boolean).join(' · ')}${odd && html` <b>${odd}</b>`}</span>
        `}
        <span class="unseen">${t.open(takeName(take))}</span>
      </button>
    </li>
  `;
}

/** Looks with the time from roll to each, where it is told. @param {Take} take */
function looksOf(take) {
  if (!take.came) return take.looks.map((look) => ({ look, at: '' }));
  return take.came.map((c, i) => ({ look: c.look, at: i === 0 && c.after_ms === 0 ? '' : tenths(c.after_ms) }));
}

/** @param {{b: Book}} props */
function Exports({ b }) {
  const t = texts.takes;
  return html`
    <nav class="exports" aria-label=${t.export}>
      <span>${t.export}</span>
      ${(/** @type {const} */ (['csv', 'edl', 'tab', 'json'])).map((form) => html`
        <a class="export" data-test=${`export-${form}`} href=${exportPath(b.query, form)} download=${`takes.${form}`}>${t.forms[form][0]}<small>${t.forms[form][1]}</small></a>
      `)}
    </nav>
  `;
}
