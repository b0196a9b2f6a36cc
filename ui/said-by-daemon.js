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
 *   them, {1*} for a part that may be in the catalogue itself, {1!} for one that must be
 * @property {[string, string][]} words what is only ever a part of a sentence, in the same form
 *
 * @typedef {{pattern: RegExp, longest: string, literal: number, own: string, isWord: boolean}} Template longest of what is given, and how much that is in all
 * @typedef {{text: string, literal: number, own: number, isWord: boolean}} Found own is the literal of its first template alone
 * @typedef {{quotes: [string, string], sentences: Template[], words: Template[], kept: Map<string, Found | null>}} Book
 */

/** A name in quotes, one piece whatever it says. */
const NAME = String.raw`"(?:[^"\\]|\\.)*"`;
const NAMES = new RegExp(NAME, 'gs');
const ALONE = new RegExp(`^${NAME}$`, 's');
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
    const [sentences, words] = [catalogue.sentences.map((pair) => template(pair, false)), catalogue.words.map((pair) => template(pair, true))];
    book = { quotes: catalogue.quotes, sentences, words, kept: new Map() };
    books.set(catalogue, book);
  }
  return book;
}

/** @param {[string, string]} pair @param {boolean} isWord @returns {Template} */
function template([english, own], isWord) {
  const given = english.split('{}');
  const pattern = given.map((text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join(PART);
  const [longest] = [...given].sort((a, b) => b.length - a.length);
  return { pattern: new RegExp(`^${pattern}$`, 's'), longest, literal: given.join('').length, own, isWord };
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
    const found = parts && filled(book, t, parts, depth);
    if (found) out.push(found);
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
    if (after) out.push({ text: before.text + joint + after.text, literal: before.literal + joint.length + after.literal, own: before.own, isWord: false });
    else if (joint === WHY) out.push({ ...before, text: before.text + joint + rest });
  }
  return out;
}

/** @param {Book} book @param {Template} t @param {string[]} parts @param {number} depth @returns {Found | null} null where a part has to be known and is not */
function filled(book, t, parts, depth) {
  let { literal } = t;
  let lacks = false;
  const text = t.own.replace(/\{(\d+)([*!]?)\}/g, (_, n, mark) => {
    const part = parts[n] ?? '';
    const isName = ALONE.test(part);
    const found = mark ? find(book, isName ? plain(part) : part, true, depth - 1) : null;
    lacks ||= mark === '!' && !found;
    if (!found) return asWritten(part, book.quotes);
    if (t.isWord || !found.isWord) literal += found.literal; // of sentences, their words tell nothing
    return isName ? book.quotes[0] + found.text + book.quotes[1] : found.text;
  });
  return lacks ? null : { text, literal, own: t.literal, isWord: t.isWord };
}

/** A part as the page writes numbers and names. @param {string} part @param {[string, string]} quotes */
function asWritten(part, [open, shut]) {
  if (/^[+-]?\d+\.\d+$/.test(part)) return withPoint(part);
  return part.replace(NAMES, (name) => open + plain(name) + shut);
}

/** A name without its quotes, and without what they needed of it. @param {string} name */
const plain = (name) => name.slice(1, -1).replace(/\\(["\\])/g, '$1');
