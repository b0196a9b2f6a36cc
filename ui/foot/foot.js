// Under the pad, always: work light, kill, and the overall level.
// Use: `<${Foot} state=${state} verbs=${verbs} kill=${kill} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */
/** @import {Kill} from '../keys.js' */

import { html, useRef } from '../vendor/htm-preact.js';
import { Glyph } from '../parts/glyph.js';
import { tap } from '../parts/tap.js';
import { Overall } from './overall.js';
import { may, runs } from '../role.js';
import { texts } from '../texts.js';

/** @param {{state: PageState, verbs: Verbs, kill: Kill}} props */
export function Foot({ state, verbs, kill }) {
  const on = Boolean(state.live?.worklight);
  if (!may(state.role, 'worklight')) return null;
  return html`
    <footer class="foot" data-alone=${String(!runs(state.role))}>
      <button class="slate worklight" data-test="worklight" data-on=${String(on)} aria-pressed=${String(on)} ...${tap(verbs.worklight)}>
        <span class="slate-name">${texts.foot.worklight}</span>${' '}
        <span class="slate-says">${on ? texts.foot.on : texts.foot.off}</span>
        <${Glyph} name="torch" />
      </button>
      ${runs(state.role) && html`<${KillButton} state=${state} verbs=${verbs} kill=${kill} /><${Overall} state=${state} verbs=${verbs} />`}
    </footer>
  `;
}

/**
 * Held for as long as its ring takes to close; once all is killed, a tap
 * brings the light back. The lift of the finger that killed is no tap.
 *
 * @param {{state: PageState, verbs: Verbs, kill: Kill}} props
 */
function KillButton({ state, verbs, kill }) {
  const killed = Boolean(state.live?.killed);
  const pressedKilled = useRef(false);
  const word = killed ? texts.foot.killedTap : state.holding ? texts.foot.killHolding : texts.foot.killHold;

  function press() {
    pressedKilled.current = killed;
    if (!killed) kill.press();
  }

  function lift() {
    const again = killed && pressedKilled.current;
    drop();
    if (again) verbs.unkill();
  }

  function drop() {
    pressedKilled.current = false;
    kill.release();
  }

  /** @param {KeyboardEvent} e */
  function keyUp(e) {
    e.preventDefault(); // some browsers click only now, and a click would bring the light back
    kill.release();
  }

  /** @param {KeyboardEvent} e */
  function key(e) {
    if (e.key !== ' ' && e.key !== 'Enter') return;
    e.preventDefault();
    if (e.repeat) return;
    press();
    if (killed) verbs.unkill();
  }

  return html`
    <button
      class="slate kill"
      data-test="kill"
      data-state=${killed ? 'killed' : state.holding ? 'holding' : 'ready'}
      aria-label=${killed ? texts.foot.killedLabel : state.holding ? texts.foot.killingLabel : texts.foot.killLabel}
      onPointerDown=${(/** @type {PointerEvent} */ e) => e.button === 0 && press()}
      onPointerUp=${lift}
      onPointerLeave=${drop}
      onPointerCancel=${drop}
      onBlur=${kill.release}
      onKeyDown=${key}
      onKeyUp=${(/** @type {KeyboardEvent} */ e) => (e.key === ' ' || e.key === 'Enter') && keyUp(e)}
      onContextMenu=${(/** @type {Event} */ e) => e.preventDefault()}
      onClick=${(/** @type {MouseEvent} */ e) => killed && e.detail === 0 && verbs.unkill()}
    >
      <svg class="kill-ring" viewBox="0 0 40 40" aria-hidden="true">
        <circle class="kill-ring-way" cx="20" cy="20" r="16" />
        <circle class="kill-ring-held" cx="20" cy="20" r="16" pathLength="100" />
      </svg>
      <span class="slate-name">${killed ? texts.foot.killed : texts.foot.kill}</span>${' '}
      <span class="slate-says">${word}</span>
    </button>
  `;
}
