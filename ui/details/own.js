// What the page is like on this device: its theme and its language.
// Use: `<${Own} theme=${theme} />`, where the details are.

/** @import {Wardrobe} from '../theme.js' */

import { canStayAwake } from '../awake.js';
import { html, useState } from '../vendor/htm-preact.js';
import { changeLanguage, language, LANGUAGES, texts } from '../texts.js';

/** @param {{theme: Wardrobe}} props */
export function Own({ theme }) {
  const [worn, setWorn] = useState(theme.chosen());
  const d = texts.details;
  const other = worn === 'day' ? 'night' : 'day';
  return html`
    <h3>${d.page}</h3>
    <button class="choice" data-test="theme" data-theme=${worn} onClick=${() => { theme.choose(other); setWorn(other); }}>
      ${d[other]}<small>${d.themeNow}</small>
    </button>
    ${Object.entries(LANGUAGES).filter(([code]) => code !== language).map(([code, name]) => html`
      <button class="choice" data-test=${`language-${code}`} onClick=${() => changeLanguage(/** @type {any} */ (code))}>
        <span lang=${code}>${name}</span><small>${d.language}</small>
      </button>
    `)}
    ${!canStayAwake() && html`<p data-test="sleeps">${d.sleeps}</p>`}
  `;
}
