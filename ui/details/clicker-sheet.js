// Teaching the page the keys of a clicker or pedal.
// Use: `<${ClickerSheet} state=${state} learn=${fn} forget=${fn} close=${fn} />`.

/** @import {ClickerAction, PageState} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { ACTIONS } from '../clicker.js';
import { Sheet } from '../parts/sheet.js';
import { texts } from '../texts.js';

/** @param {{state: PageState, learn: (action: ClickerAction | null) => void, forget: (action: ClickerAction) => void, close: () => void}} props */
export function ClickerSheet({ state, learn, forget, close }) {
  const c = texts.clicker;
  return html`
    <${Sheet} title=${c.title} close=${close} test="clicker">
      <p>${c.what}</p>
      ${ACTIONS.map((action) => {
        const key = state.clicker[action];
        const waits = state.learning === action;
        return html`
          <div class="clicker" data-test=${`clicker-${action}`} data-key=${key ?? ''}>
            <span>${c.action[action]}<small>${waits ? c.waiting : key ? c.names[key] ?? key : c.none}</small></span>
            <button class="choice" data-test=${`learn-${action}`} aria-pressed=${String(waits)} aria-label=${c.learnLabel(c.action[action])} onClick=${() => learn(waits ? null : action)}>${waits ? c.waiting : c.learn}</button>
            ${key && html`<button class="choice" data-test=${`forget-${action}`} aria-label=${c.forgetLabel(c.action[action])} onClick=${() => forget(action)}>${c.forget}</button>`}
          </div>
        `;
      })}
    <//>
  `;
}
