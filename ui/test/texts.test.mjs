import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import test from 'node:test';
import { de, lacks } from '../de.js';
import { en } from '../en.js';
import { chooseLanguage, filled, texts } from '../texts.js';

/** Every text by its path, with its kind: words, or a sentence of so many parts. */
function shape(value, path = '', all = new Map()) {
  if (typeof value === 'function') all.set(path, `sentence of ${value.length}`);
  else if (Array.isArray(value)) all.set(path, `list of ${value.length}`);
  else if (typeof value === 'object' && value !== null) for (const [key, v] of Object.entries(value)) shape(v, path ? `${path}.${key}` : key, all);
  else all.set(path, typeof value);
  return all;
}

test('German has the very texts that English has', () => {
  // What the daemon says is a list of what a language has to say otherwise.
  const [want, have] = [en, de].map(({ daemon, ...texts }) => shape(texts));
  const lacked = (/** @type {string} */ k) => lacks.some((l) => k === l || k.startsWith(`${l}.`));
  const missing = [...want.keys()].filter((k) => !have.has(k) && !lacked(k));
  assert.deepEqual(missing, [], 'translate these in ui/de.js, or name them in its `lacks`: they are shown in English then');
  assert.deepEqual([...have.keys()].filter((k) => !want.has(k)), [], 'these are in ui/de.js alone: take them out');
  const idle = lacks.filter((l) => ![...want.keys()].some((k) => !have.has(k) && (k === l || k.startsWith(`${l}.`))));
  assert.deepEqual(idle, [], 'nothing of these is missing: take them out of `lacks`');
  for (const [key, kind] of have) assert.equal(kind, want.get(key), key);
});

test('every part of the page speaks the language that was chosen', () => {
  const root = new URL('..', import.meta.url);
  const english = readdirSync(root, { recursive: true })
    .filter((name) => name.endsWith('.js') && !['texts.js', 'de.js'].includes(name))
    .filter((name) => /from '[./]*(?:en|de)\.js'/.test(readFileSync(new URL(name, root), 'utf8')));
  assert.deepEqual(english, [], "import { texts } from '../texts.js' here");
});

test('a text that a language lacks is shown in English', () => {
  const whole = filled({ a: 'eins', b: { c: 'zwei' } }, { a: 'one', b: { c: 'two', d: () => 'three' }, e: ['four'] });
  assert.equal(whole.a, 'eins');
  assert.equal(whole.b.c, 'zwei');
  assert.equal(whole.b.d(), 'three');
  assert.deepEqual(whole.e, ['four']);
});

// Tags of BCP 47 (RFC 5646).
test('the language is the first that the page speaks', () => {
  assert.equal(chooseLanguage(['', 'de-CH', 'en']), 'de');
  assert.equal(chooseLanguage(['fr-FR', 'DE-at', 'en-US']), 'de');
  assert.equal(chooseLanguage(['fr']), 'en');
  assert.equal(chooseLanguage(['en', 'de']), 'en');
  assert.equal(chooseLanguage([]), 'en');
  assert.equal(chooseLanguage(['constructor', 'de']), 'de');
});

test('outside a browser the page speaks English', () => assert.equal(texts, en));
