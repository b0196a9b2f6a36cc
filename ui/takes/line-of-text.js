// A line of text that is saved when it is done with: by Enter, by its button, or
// by leaving it. What comes from elsewhere is shown as long as nobody writes in it.
// Use: `<${Line} name="note" label="note" value=${note} save=${fn} />`.

import { html, useEffect, useRef, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';

/** @param {{name: string, label: string, value: string, save: (text: string) => void, most?: number}} props */
export function Line({ name, label, value, save, most = 2000 }) {
  const [text, setText] = useState(value);
  const was = useRef(value);
  useEffect(() => {
    if (text === was.current) setText(value);
    was.current = value;
  }, [value]);
  const changed = text.trim() !== value;
  const done = () => changed && save(text.trim());
  return html`
    <form class="line-of-text" onSubmit=${(/** @type {Event} */ e) => { e.preventDefault(); done(); }}>
      <label>${label}
        <input data-test=${name} value=${text} maxlength=${most} autocomplete="off" enterkeyhint="done" onInput=${(/** @type {any} */ e) => setText(e.currentTarget.value)} onBlur=${done} />
      </label>
      ${changed && html`<button class="act" data-test=${`${name}-save`}>${texts.takes.save}</button>`}
    </form>
  `;
}
