// A line of text that is saved when it is done with: by Enter, by its button, or
// by leaving it. What comes from elsewhere is shown as long as nobody writes in it.
// Use: `<${Line} name="note" label="note" value=${note} save=${fn} />`.

import { html } from '../vendor/htm-preact.js';
import { useText } from '../parts/use-text.js';
import { texts } from '../texts.js';

/** @param {{name: string, label: string, value: string, save: (text: string) => void, most?: number}} props */
export function Line({ name, label, value, save, most = 2000 }) {
  const [text, write, leave] = useText(value);
  const changed = text.trim() !== value;
  const done = () => {
    if (!changed) return;
    leave();
    save(text.trim());
  };
  return html`
    <form class="line-of-text" onSubmit=${(/** @type {Event} */ e) => { e.preventDefault(); done(); }}>
      <label>${label}
        <input data-test=${name} value=${text} maxlength=${most} autocomplete="off" enterkeyhint="done" onInput=${(/** @type {any} */ e) => write(e.currentTarget.value)} onBlur=${done} />
      </label>
      ${changed && html`<button class="act" data-test=${`${name}-save`}>${texts.takes.save}</button>`}
    </form>
  `;
}
