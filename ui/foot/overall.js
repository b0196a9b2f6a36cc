// The overall level as a wedge that swells to the right. Slide over it, tap
// its ends, or use the arrow keys. Follows the ARIA slider pattern; a touch
// alone never makes the level jump.
// Use: `<${Overall} state=${state} verbs=${verbs} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html, useRef, useState } from '../vendor/htm-preact.js';
import { percent } from '../format.js';
import { texts } from '../texts.js';

/** One tap or one press of a key. */
const STEP = 0.05;
/** Way of the finger from nothing to full, px. */
const TRAVEL_PX = 220;
const SLOP_PX = 8;
/** How long the level that was asked for shows before the daemon's own, ms. */
const OWN_MS = 600;

/** @param {{state: PageState, verbs: Verbs}} props */
export function Overall({ state, verbs }) {
  const [asked, setAsked] = useState(/** @type {number | null} */ (null));
  const drag = useRef(/** @type {{x: number, from: number, moved: boolean} | null} */ (null));
  const timer = useRef(/** @type {any} */ (null));
  const level = asked ?? state.live?.overall ?? 1;

  /** @param {number} share */
  function ask(share) {
    const to = Math.round(Math.min(1, Math.max(0, share)) * 100) / 100;
    setAsked(to);
    verbs.overall(to);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => setAsked(null), OWN_MS);
  }

  /** @param {PointerEvent} e */
  function down(e) {
    if (e.button !== 0) return;
    /** @type {HTMLElement} */ (e.currentTarget).setPointerCapture(e.pointerId);
    drag.current = { x: e.clientX, from: level, moved: false };
  }

  /** @param {PointerEvent} e */
  function move(e) {
    const d = drag.current;
    if (!d || (!d.moved && Math.abs(e.clientX - d.x) < SLOP_PX)) return;
    d.moved = true;
    ask(d.from + (e.clientX - d.x) / TRAVEL_PX);
  }

  /** @param {PointerEvent} e */
  function up(e) {
    const d = drag.current;
    drag.current = null;
    if (!d || d.moved) return;
    const { left, width } = /** @type {HTMLElement} */ (e.currentTarget).getBoundingClientRect();
    ask(level + (e.clientX - left > width / 2 ? STEP : -STEP));
  }

  /** @param {KeyboardEvent} e */
  function key(e) {
    const by = { ArrowLeft: -STEP, ArrowDown: -STEP, ArrowRight: STEP, ArrowUp: STEP, Home: -1, End: 1 }[e.key];
    if (by === undefined || e.shiftKey) return;
    e.preventDefault();
    e.stopPropagation();
    ask(level + by);
  }

  return html`
    <div
      class="slate overall"
      data-test="overall"
      data-level=${level.toFixed(2)}
      role="slider"
      tabindex="0"
      aria-label=${texts.foot.overall}
      aria-valuemin="0"
      aria-valuemax="100"
      aria-valuenow=${Math.round(level * 100)}
      aria-valuetext=${percent(level)}
      onPointerDown=${down}
      onPointerMove=${move}
      onPointerUp=${up}
      onPointerCancel=${() => (drag.current = null)}
      onKeyDown=${key}
    >
      <span class="slate-name">${texts.foot.overall}</span>${' '}
      <span class="slate-says">${percent(level)}</span>
      <svg class="overall-wedge" viewBox="0 0 100 20" preserveAspectRatio="none" aria-hidden="true">
        <path class="overall-way" d="M0 20H100V2z" />
        <path class="overall-held" d=${`M0 20H${100 * level}V${20 - 18 * level}z`} />
      </svg>
      
    </div>
  `;
}
