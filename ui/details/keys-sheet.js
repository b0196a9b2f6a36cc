// Every key and what it does. Use: `<${KeysSheet} close=${fn} />`.

import { html } from '../vendor/htm-preact.js';
import { Sheet } from '../parts/sheet.js';
import { texts } from '../texts.js';

/** @param {{close: () => void}} props */
export function KeysSheet({ close }) {
  return html`
    <${Sheet} title=${texts.keys.title} close=${close} test="keys">
      <dl class="keys">
        ${texts.keys.list.map(([key, does]) => html`<div><dt>${key}</dt><dd>${does}</dd></div>`)}
      </dl>
    <//>
  `;
}
