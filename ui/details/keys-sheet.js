// Every key and what it does. Use: `<${KeysSheet} close=${fn} />`.

import { html } from '../vendor/htm-preact.js';
import { Sheet } from '../parts/sheet.js';
import { en } from '../en.js';

/** @param {{close: () => void}} props */
export function KeysSheet({ close }) {
  return html`
    <${Sheet} title=${en.keys.title} close=${close} test="keys">
      <dl class="keys">
        ${en.keys.list.map(([key, does]) => html`<div><dt>${key}</dt><dd>${does}</dd></div>`)}
      </dl>
    <//>
  `;
}
