// The languages of the page, and which of them whoever holds it reads.

/** @typedef {'en' | 'de'} Language */

/** Each by its own name. @type {Record<Language, string>} */
export const LANGUAGES = { en: 'English', de: 'Deutsch' };

/** Where the choice of this device is kept. */
export const KEY = 'language';

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

/** What was chosen on this device, else what the browser asks for; outside a browser, as in a test, English. @returns {Language} */
export function askedLanguage() {
  if (typeof document === 'undefined') return 'en';
  let chosen = '';
  try {
    chosen = localStorage.getItem(KEY) ?? '';
  } catch {
    // storage is off
  }
  return chooseLanguage([chosen, ...navigator.languages]);
}

/** Fetches the words of each; of one that lacks some, English has them. */
export const WORDS = {
  en: () => import('./en.js'),
  de: () => import('./de.js'),
};
