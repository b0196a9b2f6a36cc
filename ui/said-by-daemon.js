// What the daemon says, in the language of the page. The daemon speaks English, to programs
// and people alike; a catalogue has its sentences by their English, with {} for what varies.
// Pure functions.

import { withPoint } from './format.js';

/**
 * A language's words for what the daemon says; English has none.
 *
 * @typedef {object} Catalogue
 * @property {[string, string]} quotes before and after a name
 * @property {[string, string][]} sentences English with {} for each part, own with {1}, {2}... for
 *   them, and {1*} for a part that is itself in the catalogue
 * @property {[string, string][]} words what is only ever a part of a sentence, in the same form
 *
 * @typedef {{pattern: RegExp, longest: string, literal: number, own: string}} Template longest of what is given, and how much that is in all
 * @typedef {{text: string, literal: number, own: number}} Found own is the literal of its first template alone
 * @typedef {{quotes: [string, string], sentences: Template[], words: Template[], kept: Map<string, Found | null>}} Book
 */

/** A name in quotes, one piece whatever it says. */
const NAME = String.raw`"(?:[^"\\]|\\.)*"`;
/** What varies. */
const PART = `((?:${NAME}|[^"])*?)`;
/** What is put between a sentence and its cause. */
const WHY = ': ';
/** A name, or what is put between two sentences that belong together. */
const JOINT = new RegExp(`${NAME}|${WHY}|; `, 'gs');
/** How many parts in parts are looked into. */
const DEPTH = 6;
/** How many answers are kept: a sheet of warnings asks for the same ones several times a second. */
const KEPT = 500;

/** @type {WeakMap<Catalogue, Book>} */
const books = new WeakMap();

/**
 * A sentence of the daemon in the language of a catalogue. What the catalogue lacks stays
 * English and is marked as such.
 *
 * @param {string} sentence
 * @param {Catalogue} catalogue
 * @returns {{text: string, lang: 'en' | undefined}}
 */
export function translated(sentence, catalogue) {
  if (!catalogue.sentences.length || !sentence) return { text: sentence, lang: undefined };
  const book = bookOf(catalogue);
  const found = find(book, sentence, false, DEPTH) ?? behind(book, sentence);
  return found ? { text: found.text, lang: undefined } : { text: sentence, lang: 'en' };
}

/**
 * What is no sentence of the daemon: a kind of thing, a place, a state. What is not known
 * stays as it is.
 *
 * @param {string} text
 * @param {Catalogue} catalogue
 */
export function translatedWord(text, catalogue) {
  if (!catalogue.words.length || !text) return text;
  return find(bookOf(catalogue), text, true, DEPTH)?.text ?? text;
}

/** @param {Catalogue} catalogue @returns {Book} */
function bookOf(catalogue) {
  let book = books.get(catalogue);
  if (!book) {
    book = { quotes: catalogue.quotes, sentences: catalogue.sentences.map(template), words: catalogue.words.map(template), kept: new Map() };
    books.set(catalogue, book);
  }
  return book;
}

/** @param {[string, string]} pair @returns {Template} */
function template([english, own]) {
  const given = english.split('{}');
  const pattern = given.map((text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join(PART);
  const [longest] = [...given].sort((a, b) => b.length - a.length);
  return { pattern: new RegExp(`^${pattern}$`, 's'), longest, literal: given.join('').length, own };
}

/** @param {Book} book @param {string} text @param {boolean} isPart so that words count too @param {number} depth */
function find(book, text, isPart, depth) {
  if (!text || depth === 0) return null;
  const key = `${isPart ? 'p' : 's'}${depth}${text}`;
  let found = book.kept.get(key);
  if (found === undefined) {
    found = best([...whole(book, text, isPart, depth), ...inTwo(book, text, depth)]);
    if (book.kept.size >= KEPT) book.kept.clear();
    book.kept.set(key, found);
  }
  return found;
}

/** What follows the field or the file that a sentence is about. @param {Book} book @param {string} sentence @returns {Found | null} */
function behind(book, sentence) {
  const [where] = /^\S+: /.exec(sentence) ?? [''];
  const found = where ? find(book, sentence.slice(where.length), false, DEPTH) : null;
  return found && { ...found, text: where + found.text };
}

/** The one of which most is given, by one template rather than by its parts. @param {Found[]} all @returns {Found | null} */
function best(all) {
  return all.sort((a, b) => b.literal - a.literal || b.own - a.own)[0] ?? null;
}

/** By templates that the whole text fits. @param {Book} book @param {string} text @param {boolean} isPart @param {number} depth @returns {Found[]} */
function whole(book, text, isPart, depth) {
  const out = [];
  for (const t of isPart ? [...book.words, ...book.sentences] : book.sentences) {
    const parts = text.includes(t.longest) && t.pattern.exec(text); // most are out at once
    if (parts) out.push(filled(book, t, parts, depth));
  }
  return out;
}

/**
 * As two sentences in one: what and why, what and its mend. Why may be what a system says in its
 * own words; that stays.
 *
 * @param {Book} book @param {string} text @param {number} depth
 * @returns {Found[]}
 */
function inTwo(book, text, depth) {
  const out = [];
  for (const { 0: joint, index } of text.matchAll(JOINT)) {
    const before = joint.startsWith('"') ? null : best(whole(book, text.slice(0, index), false, depth));
    if (!before) continue;
    const rest = text.slice(index + joint.length);
    const after = find(book, rest, false, depth - 1);
    if (after) out.push({ text: before.text + joint + after.text, literal: before.literal + joint.length + after.literal, own: before.own });
    else if (joint === WHY) out.push({ ...before, text: before.text + joint + rest });
  }
  return out;
}

/** @param {Book} book @param {Template} t @param {string[]} parts @param {number} depth @returns {Found} */
function filled(book, t, parts, depth) {
  let literal = t.literal;
  const text = t.own.replace(/\{(\d+)(\*?)\}/g, (_, n, looked) => {
    const part = parts[n] ?? '';
    const found = looked && find(book, part, true, depth - 1);
    literal += found ? found.literal : 0;
    return found ? found.text : asWritten(part, book.quotes);
  });
  return { text, literal, own: t.literal };
}

/** A part as the page writes numbers and names. @param {string} part @param {[string, string]} quotes */
function asWritten(part, [open, shut]) {
  if (/^[+-]?\d+\.\d+$/.test(part)) return withPoint(part);
  return part.replace(/"((?:[^"\\]|\\.)*)"/g, (_, name) => open + name.replace(/\\(["\\])/g, '$1') + shut);
}
