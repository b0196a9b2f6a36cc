// A sheet over the picture and the strip; pad and foot stay in reach. Follows
// the ARIA dialog pattern without trapping: the set keeps running under it.
// Use: `<${Sheet} title="Keys" close=${fn} test="keys">...<//>`.

/** @import {ComponentChildren} from '../vendor/htm-preact' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';

/** @param {{title: string, close: () => void, test: string, children?: ComponentChildren}} props */
export function Sheet({ title, close, test, children }) {
  const closer = useRef(/** @type {HTMLButtonElement | null} */ (null));
  useEffect(() => {
    const before = /** @type {HTMLElement | null} */ (document.activeElement);
    closer.current?.focus();
    return () => before?.focus?.();
  }, []);
  return html`
    <section class="sheet" role="dialog" aria-label=${title} data-test=${test}>
      <header class="sheet-head">
        <h2>${title}</h2>
        <button class="sheet-close" ref=${closer} onClick=${close} data-test="close">${texts.details.close}</button>
      </header>
      <div class="sheet-body" tabindex="0" role="group" aria-label=${title}>${children}</div>
    </section>
  `;
}
