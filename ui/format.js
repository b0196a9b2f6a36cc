// Numbers as people read them, always with their unit.

/** Whose numbers are written, as a tag of BCP 47. */
let locale = 'en';
/** Between whole and part of a number; "" until it is first needed, as browsers take a twentieth of a second to look it up. */
let point = '';

/** Has numbers written as a language writes them. @param {string} tag BCP 47; "C", as some systems have it, is none */
export function speak(tag) {
  locale = tag;
  point = '';
}

function pointOf() {
  let known = 'en';
  try {
    known = Intl.getCanonicalLocales(locale)[0] ?? known;
  } catch {
    // no tag of a language
  }
  return new Intl.NumberFormat(known).formatToParts(0.5).find((part) => part.type === 'decimal')?.value ?? '.';
}

/** Of an international foot (NIST SP 811). */
const METRES_OF_FOOT = 0.3048;

/** Whether people count in feet. @param {string} [locale] a BCP 47 tag, the browser's own */
export const inFeet = (locale = globalThis.navigator?.language ?? '') => /-(US|LR|MM)\b/.test(locale);

/**
 * A length, in feet too where people count in feet.
 *
 * @param {number} metres
 * @param {string} [locale]
 */
export function lengthText(metres, locale) {
  const text = `${decimal(metres, 1)} m`;
  return inFeet(locale) ? `${text} (${decimal(metres / METRES_OF_FOOT, 1)} ft)` : text;
}

/**
 * A round length to draw beside a plan: so many metres, or three feet for each.
 *
 * @param {number} metres
 * @param {string} [locale]
 */
export function roundLength(metres, locale) {
  const feet = 3 * metres;
  return inFeet(locale) ? { metres: feet * METRES_OF_FOOT, text: `${feet} ft` } : { metres, text: `${metres} m` };
}

/** A number with so many digits of its part. @param {number} v @param {number} digits */
export function decimal(v, digits) {
  return withPoint(v.toFixed(digits));
}

/** A number as it comes, with the language's own point. @param {number | string} v */
export function withPoint(v) {
  const text = String(v);
  if (!text.includes('.')) return text;
  point ||= pointOf();
  return text.replace('.', point);
}

/**
 * A time to read at arm's length: "0 s", "0.5 s", "4 s", "1 min 20 s".
 *
 * @param {number} ms >= 0
 */
export function time(ms) {
  const tenths = Math.round(Math.max(0, ms) / 100);
  if (ms > 0 && tenths === 0) return `${Math.max(1, Math.round(ms))} ms`;
  if (tenths < 100 && tenths % 10 !== 0) return `${decimal(tenths / 10, 1)} s`;
  const s = Math.round(tenths / 10);
  if (s < 60) return `${s} s`;
  const rest = s % 60;
  return rest ? `${Math.floor(s / 60)} min ${rest} s` : `${s / 60} min`;
}

/**
 * What is left of a fade, with a steady number of digits while it runs down:
 * "3.2 s", "12 s".
 *
 * @param {number} ms >= 0
 */
export function remaining(ms) {
  if (ms >= 60_000) return time(Math.ceil(ms / 1000) * 1000);
  if (ms >= 9_950) return `${Math.ceil(ms / 1000)} s`;
  return `${decimal(Math.ceil(Math.max(0, ms) / 100) / 10, 1)} s`;
}

/** @param {number} share 0..1 */
export function percent(share) {
  return `${Math.round(share * 100)} %`;
}

/** A round trip. @param {number} ms @param {string} [under] the word for less than */
export function latency(ms, under = 'under') {
  return ms < 1 ? `${under} 1 ms` : `${Math.round(ms)} ms`;
}

/**
 * A name from a file as words: "deep-end" is "deep end".
 *
 * @param {string} name
 */
export function words(name) {
  return name.replace(/[-_]+/g, ' ');
}

/**
 * The steps of a fade's time around the one written, shortest first, and
 * where in them the written one is. A snap grows by halves of a second.
 *
 * @param {number} writtenMs
 * @returns {{steps: number[], written: number}}
 */
export function trimSteps(writtenMs) {
  if (writtenMs <= 0) return { steps: [0, 500, 1000, 2000, 4000, 8000], written: 0 };
  return { steps: [0, 0.25, 0.5, 1, 2, 4].map((f) => Math.round(f * writtenMs)), written: 3 };
}

/**
 * The stand-by's fade with `step` steps of trim, never past either end.
 *
 * @param {number} writtenMs
 * @param {number} step 0 is as written
 * @returns {{ms: number, step: number, atLeast: boolean, atMost: boolean}} ms, and the step that it is
 */
export function trimmed(writtenMs, step) {
  const { steps, written } = trimSteps(writtenMs);
  const at = Math.min(steps.length - 1, Math.max(0, written + step));
  return { ms: steps[at], step: at - written, atLeast: at === 0, atMost: at === steps.length - 1 };
}
