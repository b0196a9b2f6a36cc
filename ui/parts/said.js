// What the daemon says, where it is read: in the language of the page, or marked as English.
// Use: `<${Refused} refusal=${refusal} />`, `<${Said} text=${finding.what} />`.

/** @import {Refusal} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { told, toldRefusal } from '../told.js';

/** Why something was not done, and the mend. @param {{refusal: Refusal}} props */
export function Refused({ refusal }) {
  const { message, mend, lang, mendLang } = toldRefusal(refusal);
  return html`<b lang=${lang}>${message}</b>${mend && html` <i lang=${mendLang}>${mend}</i>`}`;
}

/** One sentence; nothing for none. @param {{text: string | undefined, tag?: string}} props */
export function Said({ text, tag = 'span' }) {
  if (!text) return null;
  const sentence = told(text);
  return html`<${tag} lang=${sentence.lang}>${sentence.text}<//>`;
}
