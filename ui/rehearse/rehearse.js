// Rehearsal, in the place of the strip: the line in time, play, tempo, count-in and
// music. The picture over it shows where the line is; the pad goes on meaning the set.
// Use: `<${Rehearse} state=${state} rehearsal=${rehearsal} verbs=${verbs} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */
/** @import {Rehearsal} from './rehearsal.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { told } from '../told.js';
import { time } from '../format.js';
import { moment } from './lay.js';
import { Line } from './line.js';

/** @param {{state: PageState, rehearsal: Rehearsal, verbs: Verbs}} props */
export function Rehearse({ state, rehearsal, verbs }) {
  const r = texts.rehearse;
  const { rehearsal: now, live } = state;
  const cues = rehearsal.cues();
  const there = moment(cues, now.at);
  const t = now.timeline;
  const slow = t && t.capture_fps > 0 && t.timeline_fps > 0 && t.capture_fps !== t.timeline_fps ? (now.at * t.capture_fps) / t.timeline_fps : null;
  return html`
    <section class="rehearse" aria-label=${r.title} data-test="rehearse" data-blind=${String(now.blind)} data-playing=${String(now.playing)}>
      <header class="rehearse-head">
        <span class="rehearse-where" data-test="where">
          <b>${time(now.at)}</b>${slow !== null && html` <small>${r.onScreen(slow)}</small>`}
          ${there && html` <i>${r.cue(there)}</i>`}
        </span>
        ${now.blind && html`<button data-test="to-set" onClick=${rehearsal.live}>${r.toSet}</button>`}
        <button data-test="rehearse-close" onClick=${rehearsal.close} aria-label=${r.closeLabel}>${r.close}</button>
      </header>
      ${cues.length ? html`<${Line} cues=${cues} at=${now.at} plan=${state.plan} scrub=${rehearsal.scrub} />` : html`<p class="rehearse-none">${t ? r.noCues : r.waiting}</p>`}
      <div class="rehearse-row">
        ${live?.dry || now.playing
          ? html`<button class="act" data-test="play" aria-pressed=${String(now.playing)} onClick=${rehearsal.play}>${now.playing ? r.stop : r.play}</button>`
          : html`<button class="act" data-test="go-dry" onClick=${() => verbs.dry(true)}>${r.goDry}</button>`}
        <${Tempo} state=${state} rehearsal=${rehearsal} />
        <button class="act" data-test="count-in" onClick=${rehearsal.countIn} aria-label=${r.countLabel(now.countIn)}>
          <small>${r.countIn}</small>${' '}<b>${now.countIn || r.none}</b>
        </button>
        <button class="act" data-test="sound" aria-pressed=${String(now.sound)} onClick=${rehearsal.sound}>
          <small>${r.sound}</small>${' '}<b>${now.sound ? texts.foot.on : texts.foot.off}</b>
        </button>
        <${MusicFile} state=${state} rehearsal=${rehearsal} />
      </div>
      <${Below} state=${state} rehearsal=${rehearsal} next=${cues.find((c) => c.waits !== 'follow' && !c.marked)?.cue} />
    </section>
  `;
}

/** A button to tap the beat on. @param {{state: PageState, rehearsal: Rehearsal}} props */
function Tempo({ state, rehearsal }) {
  const r = texts.rehearse;
  const tempo = state.live?.tempo;
  return html`
    <button class="act act-tap" data-test="tap-tempo"
      onPointerDown=${(/** @type {PointerEvent} */ e) => e.button === 0 && rehearsal.tap()}
      onClick=${(/** @type {MouseEvent} */ e) => e.detail === 0 && rehearsal.tap()}>
      <small>${tempo ? r.source[tempo.source] ?? tempo.source : r.tap}</small>${' '}<b data-test="bpm">${tempo ? r.bpm(tempo) : r.noTempo}</b>
    </button>
  `;
}

/** @param {{state: PageState, rehearsal: Rehearsal}} props */
function MusicFile({ state, rehearsal }) {
  const r = texts.rehearse;
  const file = useRef(/** @type {HTMLInputElement | null} */ (null));
  const { music } = state.rehearsal;
  useEffect(() => void (file.current && (file.current.value = '')), [music]);
  return html`
    <label class="act act-file">
      <input type="file" accept="audio/*" ref=${file} data-test="music-file" class="unseen"
        onChange=${(/** @type {Event} */ e) => rehearsal.take(/** @type {HTMLInputElement} */ (e.currentTarget).files?.[0])} />
      <small>${r.music}</small>${' '}<b>${music ? r.change : r.choose}</b>
    </label>
  `;
}

/** What music needs, and what there is to say. @param {{state: PageState, rehearsal: Rehearsal, next: number | undefined}} props */
function Below({ state, rehearsal, next }) {
  const r = texts.rehearse;
  const { music, why } = state.rehearsal;
  const says = why === 'dry' ? r.needsDry : told(why).text || r.latency(state.link.ms ?? 0, music?.name ?? '');
  if (!music) return says && html`<p class="rehearse-note" role="note" data-test="rehearse-note">${says}</p>`;
  return html`
    <div class="rehearse-row">
      <button class="act" data-test="mark" aria-disabled=${String(!next)} onClick=${rehearsal.mark}><small>${r.mark}</small>${' '}<b>${next ? r.markCue(next) : r.allMarked}</b></button>
      <button class="act" data-test="unmark" onClick=${rehearsal.unmark}>${r.unmark}</button>
      <button class="act" data-test="no-music" onClick=${rehearsal.noMusic}>${r.noMusic}</button>
      <span class="rehearse-note" role="note" data-test="rehearse-note">${says}</span>
    </div>
  `;
}
