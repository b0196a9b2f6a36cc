// The words of the page, in the language of whoever holds it: what was chosen on this
// device, else what the browser asks for, else English. Only that language is fetched.

import { speak } from './format.js';

/** @typedef {typeof import('./en.js').en} Texts */
/** @typedef {'en' | 'de'} Language */

/** Each by its own name. @type {Record<Language, string>} */
export const LANGUAGES = { en: 'English', de: 'Deutsch' };

const KEY = 'language';

/**
 * The first language of several tags (BCP 47) that the page speaks.
 *
 * @param {readonly string[]} tags
 * @returns {Language}
 */
export function chooseLanguage(tags) {
  for (const tag of tags) {
    const code = tag.toLowerCase().split('-')[0];
    if (Object.hasOwn(LANGUAGES, code)) return /** @type {Language} */ (code);
  }
  return 'en';
}

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

/** What was chosen here; outside a browser, as in a test, English. @returns {string[]} */
function asked() {
  if (typeof document === 'undefined') return ['en'];
  try {
    return [localStorage.getItem(KEY) ?? '', ...navigator.languages];
  } catch {
    return [...navigator.languages]; // storage is off
  }
}

/** @param {Language} code @returns {Promise<Texts>} */
async function load(code) {
  if (code === 'en') return (await import('./en.js')).en;
  const { de, lacks } = await import('./de.js');
  return lacks.length ? filled(de, (await import('./en.js')).en) : /** @type {Texts} */ (de);
}

export const language = chooseLanguage(asked());
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
