// The cue pad: says what stands by or what runs, and is the one place to
// touch for it. Tap runs, holds, goes on; press and slide up rides.
// Use: `<${Pad} state=${state} verbs=${verbs} />`. A button by its role, named by what
// it says, but for the numbers that run; its state is in data-state too.

/** @import {PageState, PadPhase} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html, useEffect, useMemo, useRef } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { Refused } from '../parts/said.js';
import { padPhase, standbyFade } from './phase.js';
import { createThumb } from './thumb.js';
import { drawCurtain, threads } from './curtain.js';
import { percent, remaining, time, words } from '../format.js';
import { runs } from '../role.js';
import { texts } from '../texts.js';

/** @param {{state: PageState, verbs: Verbs}} props */
export function Pad({ state, verbs }) {
  const phase = padPhase(state);
  const view = viewOf(state);
  const thumb = useMemo(
    () => createThumb({
      tap: verbs.tap,
      begin: () => verbs.riding.begin(),
      move: (at) => verbs.riding.move(at),
      end: (at) => verbs.riding.end(at),
    }),
    [verbs],
  );
  const inside = html`
    <${Curtain} state=${state} rise=${view.rise} />
    <span class="pad-head"><${Glyph} name=${phase} /><span data-test="pad-word">${texts.pad.word[phase]}</span><span class="pad-cue">${view.cue}</span></span>
    <${Body} state=${state} phase=${phase} view=${view} />
  `;
  if (!runs(state.role)) {
    return html`<div class="pad pad-read" role="group" aria-label=${texts.role.pad} data-test="pad" data-state=${phase} data-dry=${String(Boolean(state.live?.dry))}>${inside}</div>`;
  }
  return html`
    <button
      class="pad"
      data-test="pad"
      data-state=${phase}
      data-dry=${String(Boolean(state.live?.dry))}
      onPointerDown=${(/** @type {PointerEvent} */ e) => press(e, thumb)}
      onPointerMove=${(/** @type {PointerEvent} */ e) => thumb.move(e.clientY)}
      onPointerUp=${() => thumb.lift()}
      onPointerCancel=${() => thumb.cancel()}
      onContextMenu=${(/** @type {Event} */ e) => e.preventDefault()}
      onClick=${(/** @type {MouseEvent} */ e) => e.detail === 0 && verbs.tap()}
    >
      ${inside}
    </button>
  `;
}

/** @param {{state: PageState, phase: PadPhase, view: View}} props */
function Body({ state, phase, view }) {
  const { refusal } = state;
  return html`
    <span class="pad-name" data-long=${String(view.name.length > 9)} data-count=${String(phase === 'counting')} data-test="pad-look">${view.name}</span>
    ${refusal
      ? html`<span class="pad-refusal" data-test="refusal"><${Refused} refusal=${refusal} /></span>`
      : html`
        ${view.time && html`<span class="pad-time" data-test="pad-time">${view.time}<small>${view.written}</small></span>`}
        ${view.note && html`<span class="pad-note" data-test="pad-note">${view.note}</span>`}
      `}
    ${view.rise !== null && html`
      <span class="pad-progress" aria-hidden="true" data-test="progress" data-progress=${view.rise.toFixed(3)}>
        <span>${percent(view.rise)}</span>${view.left && html`<span data-test="remaining">${texts.pad.left(view.left)}</span>`}
      </span>
    `}
    ${!refusal && !runs(state.role) && html`<span class="pad-hint">${texts.role.reads[state.role]}</span>`}
    ${!refusal && runs(state.role) && html`<span class="pad-hint">${(phase === 'standby' || phase === 'dry') && html`<${Glyph} name="up" />`}${view.hint ?? texts.pad.hint[phase] ?? ''}</span>`}
  `;
}

/**
 * What the pad has to show.
 *
 * @typedef {object} View
 * @property {string} name look
 * @property {string} cue
 * @property {string} time
 * @property {string} written how the time came about
 * @property {string} note
 * @property {number | null} rise progress of the fade, null without one
 * @property {string} left time left of the fade
 * @property {string} [hint]
 *
 * @param {PageState} s
 * @returns {View}
 */
function viewOf(s) {
  const empty = { name: '', cue: '', time: '', written: '', note: '', rise: null, left: '' };
  const live = s.live;
  if (!live) return { ...empty, note: texts.pad.looking, hint: '' };
  const fade = live.killed ? null : live.fade;
  if (padPhase(s) === 'counting' && live.counting) {
    const { cue, look } = live.counting;
    const { beat } = s.rehearsal;
    return { ...empty, name: beat ? String(beat.left) : '', cue: cue ? texts.pad.cue(cue) : '', time: words(look) };
  }
  if (s.ride || fade) {
    const name = words(s.ride?.look ?? fade?.to ?? '');
    return { ...empty, name, rise: s.ride?.at ?? fade?.progress ?? 0, left: fade && !s.ride ? remaining(fade.remaining_ms) : '' };
  }
  if (s.done !== null && padPhase(s) === 'done') return { ...empty, name: words(s.done), hint: nextHint(s) };
  return standbyView(s) ?? { ...empty, note: texts.pad.empty, hint: '' };
}

/** @param {PageState} s @returns {View | null} */
function standbyView(s) {
  const next = s.live?.standby;
  const fade = standbyFade(s);
  if (!s.live || !next || !fade) return null;
  const cue = s.plan?.cues?.find((c) => c.cue === next.cue);
  const written = fade.step === 0 && cue?.fade_text && cue.fade_text !== time(fade.ms) ? cue.fade_text : '';
  const notes = [next.note, s.live.worklight && texts.pad.worklightOn, s.live.pointing && texts.pad.pointing(s.live.pointing.lamp), s.live.held && s.live.moving && texts.pad.stands, s.live.follow && texts.pad.follow(s.live.follow.cue, s.live.follow.in_ms)];
  return {
    name: words(next.look),
    cue: next.cue ? texts.pad.cue(next.cue) : '',
    time: fade.ms === 0 ? texts.pad.snap : time(fade.ms),
    written: fade.step === 0 ? written : texts.side.stepOf(next.fade_ms, fade.step),
    note: [s.rehearsal.countIn && texts.pad.countIn(s.rehearsal.countIn), ...notes].filter(Boolean).join(' · '),
    rise: null,
    left: '',
  };
}

/** After a cue is done, what stands by next is said small. @param {PageState} s */
function nextHint(s) {
  const next = s.live?.standby;
  return next ? texts.pad.next(next.cue, next.look) : '';
}

/**
 * @param {PointerEvent} e
 * @param {{press: (y: number, top: number, bottom: number) => void}} thumb
 */
function press(e, thumb) {
  if (e.button !== 0 || !e.isPrimary) return;
  const pad = /** @type {HTMLElement} */ (e.currentTarget);
  pad.setPointerCapture(e.pointerId);
  const { top, bottom } = pad.getBoundingClientRect();
  thumb.press(e.clientY, top, bottom);
}

/** @param {{state: PageState, rise: number | null}} props */
function Curtain({ state, rise }) {
  const { plan, live, looks } = state;
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const fade = live?.killed ? null : live?.fade;
  const to = looks[state.ride?.look ?? fade?.to ?? live?.standby?.look ?? ''];
  const from = looks[fade?.from ?? live?.look ?? ''];
  const below = useMemo(() => (plan && to ? threads(plan, to) : null), [plan, to]);
  const above = useMemo(() => (plan && from ? threads(plan, from) : null), [plan, from]);
  const stale = state.link.phase === 'lost' || Boolean(live?.killed);
  useEffect(() => {
    const el = canvas.current;
    if (!el) return undefined;
    const show = () => drawCurtain(el, { below: stale ? null : below, above: stale ? null : above, rise, edge: '#ffb14a' });
    show();
    const sizes = new ResizeObserver(show);
    sizes.observe(el);
    return () => sizes.disconnect();
  }, [below, above, rise, stale]);
  return html`<canvas class="pad-curtain" ref=${canvas} aria-hidden="true"></canvas>`;
}
