// The words of the page, in the language of whoever holds it: what was chosen on this
// device, else what the browser asks for, else English. Only that language is fetched.

import { speak } from './format.js';
import { askedLanguage, chooseLanguage, KEY, WORDS } from './language.js';

/** @typedef {typeof import('./en.js').en} Texts */
export { chooseLanguage, LANGUAGES } from './language.js';

/** @import {Language} from './language.js' */

/**
 * Texts with what they lack from others.
 *
 * @template T
 * @param {any} texts
 * @param {T} others
 * @returns {T}
 */
export function filled(texts, others) {
  if (texts === undefined) return others;
  if (typeof others !== 'object' || others === null || Array.isArray(others)) return texts;
  const whole = /** @type {any} */ ({ ...texts });
  for (const [key, other] of Object.entries(others)) whole[key] = filled(texts[key], other);
  return whole;
}

/** @param {Language} code @returns {Promise<Texts>} */
async function load(code) {
  if (code === 'en') return (await WORDS.en()).en;
  const { de, lacks } = await WORDS.de();
  return lacks.length ? filled(de, (await WORDS.en()).en) : /** @type {Texts} */ (de);
}

export const language = askedLanguage();
export const texts = await load(language);

if (typeof document !== 'undefined') {
  document.documentElement.lang = language;
  speak(chooseLanguage([navigator.language]) === language ? navigator.language : language);
}

/** Speaks another language from the next loading of the page on. @param {Language} code */
export function changeLanguage(code) {
  try {
    localStorage.setItem(KEY, code);
  } catch {
    return; // storage is off: the browser's own language stays
  }
  location.reload();
}
