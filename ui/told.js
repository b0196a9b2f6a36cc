// What the daemon says, in the language that the page speaks.

/** @import {Refusal} from './types' */

import { translated, translatedWord } from './said-by-daemon.js';
import { texts } from './texts.js';

/** Refusals that the page makes itself too, and then in its own language. */
const OWN = new Set(['nothing-stands-by', 'not-connected', 'no-answer', 'not-yours', 'no-slate', 'no-editor']);

/** A sentence, with the language that it is in where that is not the page's. @param {string} sentence */
export const told = (sentence) => translated(sentence, texts.daemon);

/** A word or a state. @param {string} text */
export const toldWord = (text) => translatedWord(text, texts.daemon);

/**
 * Why something was not done and its mend, each with its language.
 *
 * @param {Refusal} refusal
 */
export function toldRefusal(refusal) {
  const [message, mend] = [told(refusal.message), told(refusal.mend ?? '')];
  const own = OWN.has(refusal.code);
  return { message: message.text, mend: mend.text, lang: own ? undefined : message.lang, mendLang: own ? undefined : mend.lang };
}
