// The cue sheet as a line in time. Each cue rises over its fade; what stands
// before the rise is its delay. A finger on it looks at that time.
// Use: `<${Line} cues=${[]} at=${ms} plan=${plan} scrub=${fn} />`. Follows the ARIA slider pattern.

/** @import {LaidCue, Plan, XYZ} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { cssColour, displayMatrix, swatch } from '../light/display.js';
import { time, words } from '../format.js';
import { slide } from '../parts/slide.js';
import { texts } from '../texts.js';
import { endOf, moment } from './lay.js';

/** One press of an arrow key, and with shift, ms. */
const STEP = 100;
const LEAP = 1000;
/** What stands after the last cue, as a share of the line. */
const AFTER = 0.03;

/** @param {{cues: LaidCue[], at: number, plan: Plan | null, scrub: (ms: number) => void}} props */
export function Line({ cues, at, plan, scrub }) {
  const length = Math.max(1000, endOf(cues) * (1 + AFTER));
  const there = moment(cues, at);

  const fingers = slide((across) => scrub(Math.min(length, Math.max(0, across * length))));
  /** @param {KeyboardEvent} e */
  function key(e) {
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[e.key] ?? 0;
    const to = by ? at + by * (e.shiftKey ? LEAP : STEP) : { Home: 0, End: length }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    scrub(Math.min(length, Math.max(0, to)));
  }

  return html`
    <div class="line" role="slider" tabindex="0" data-test="line" aria-label=${texts.rehearse.line}
      aria-valuemin="0" aria-valuemax=${Math.round(length)} aria-valuenow=${Math.round(at)} aria-valuetext=${texts.rehearse.where(at, there)}
      ...${fingers} onKeyDown=${key}>
      ${cues.map((c, i) => html`<${Rise} key=${c.cue} cue=${c} next=${cues[i + 1]} length=${length} plan=${plan} on=${c.cue === there?.cue} />`)}
      <i class="line-head" style=${{ left: `${(100 * at) / length}%` }}></i>
    </div>
  `;
}

/** @param {{cue: LaidCue, next: LaidCue | undefined, length: number, plan: Plan | null, on: boolean}} props */
function Rise({ cue, next, length, plan, on }) {
  const share = (/** @type {number} */ ms) => `${(100 * ms) / length}%`;
  const rise = cue.start + cue.delay;
  const until = Math.max(cue.end, next?.start ?? length);
  return html`
    <span class="rise" data-on=${String(on)} data-waits=${cue.waits} data-marked=${String(cue.marked)} style=${{ left: share(cue.start), width: share(until - cue.start) }} title=${`${words(cue.look)}, ${time(cue.end - cue.start)}`}>
      <b>${cue.cue}</b>
      <i class="rise-shape" style=${{ left: `${(100 * (rise - cue.start)) / (until - cue.start)}%`, '--rise': `${(100 * (cue.end - rise)) / Math.max(1, until - rise)}%` }}>
        <${Bars} look=${cue.look} plan=${plan} />
      </i>
    </span>
  `;
}

/** @param {{look: string, plan: Plan | null}} props */
function Bars({ look, plan }) {
  const wears = plan?.looks?.find((l) => l.name === look);
  if (!plan) return null;
  const m = displayMatrix(plan.balance);
  /** @param {XYZ | null | undefined} xyz */
  const bar = (xyz) => html`<u style=${{ background: xyz ? cssColour(swatch(m, xyz)) : 'var(--faint)' }}></u>`;
  return html`${bar(wears?.lead)}${bar(wears?.second)}`;
}
