import assert from 'node:assert/strict';
import test from 'node:test';
import { de } from '../de.js';
import { en } from '../en.js';
import { speak } from '../format.js';
import { translated, translatedWord } from '../said-by-daemon.js';
import { toldRefusal } from '../told.js';

/** @type {import('../said-by-daemon.js').Catalogue} */
const small = {
  quotes: ['„', '“'],
  sentences: [
    ['nothing is held', 'nichts ist gehalten'],
    ['there is no {} {}', '{1*} {2} gibt es nicht'],
    ['there is no look {} at {}', 'kein Look {1} in {2}'],
    ['did you mean {}?', '{1} gemeint?'],
    ['cost (a+b)*{} [now] is $1 ^ {"on": true}|?', 'Kosten: {1}'],
    ['{} (and {} more)', '{1!} (und {2} weitere)'],
    ['{} follows {}', '{2} vor {1}'],
    ['frames do not go out: {}', 'kein Frame geht raus: {1}'],
    ['the lamps on {} hold', 'die Lampen auf {1*} halten'],
    ['cut first', 'erst aus'],
    ['it fades in {} s', 'blendet in {1} s'],
  ],
  words: [['group', 'Gruppe'], ['{} and {}', '{1*} und {2}'], ['look {}', 'Look {1}']],
};
const german = (sentence) => translated(sentence, small);

test('a sentence with its parts in another order', () => {
  assert.deepEqual(german('nothing is held'), { text: 'nichts ist gehalten', lang: undefined });
  assert.equal(german('cue 2 follows cue 1').text, 'cue 1 vor cue 2');
});

test('names in quotes have the quotes of the language, whatever they say', () => {
  assert.equal(german('there is no look "tide" at pier').text, 'kein Look „tide“ in pier');
  assert.equal(german('there is no look "" at pier').text, 'kein Look „“ in pier');
  assert.equal(german(String.raw`there is no look "a\" at \"b" at pier`).text, 'kein Look „a" at "b“ in pier');
  assert.equal(german(String.raw`there is no look "back\\slash" at pier`).text, String.raw`kein Look „back\slash“ in pier`);
});

test('a name that is a sentence, a template or German stays what it is', () => {
  for (const name of ['nothing is held', 'x: cut first', 'x; cut first', '{1} {2} {}', '$& $1', 'at', 'group']) {
    assert.equal(german(`there is no look "${name}" at pier`).text, `kein Look „${name}“ in pier`);
  }
  assert.equal(german('there is no look "tide" at {1} and $&').text, 'kein Look „tide“ in {1} and $&');
});

test('of several that fit, the one that says most', () => {
  assert.equal(german('there is no look "tide" at pier').text, 'kein Look „tide“ in pier');
  assert.equal(german('there is no group "tide"').text, 'Gruppe „tide“ gibt es nicht');
});

test('characters that mean something to a pattern mean themselves', () => {
  assert.equal(german('cost (a+b)*7 [now] is $1 ^ {"on": true}|?').text, 'Kosten: 7');
  assert.deepEqual(german('cost aab7 n is $1 ^ {"on": true}'), { text: 'cost aab7 n is $1 ^ {"on": true}', lang: 'en' });
});

test('two sentences in one', () => {
  assert.equal(german('nothing is held; cut first').text, 'nichts ist gehalten; erst aus');
  assert.equal(german('there is no look "tid" at pier: did you mean "tide"?; cut first').text, 'kein Look „tid“ in pier: „tide“ gemeint?; erst aus');
  assert.equal(german('there is no look "tid" at pier (and 2 more)').text, 'kein Look „tid“ in pier (und 2 weitere)');
  assert.equal(german('level: nothing is held').text, 'level: nichts ist gehalten');
  assert.deepEqual(german('nothing is held; something else'), { text: 'nothing is held; something else', lang: 'en' });
});

test('a cause that the catalogue does not know stays as it came', () => {
  assert.deepEqual(german('frames do not go out: write udp: no route'), { text: 'kein Frame geht raus: write udp: no route', lang: undefined });
  assert.deepEqual(german('nothing is held: EOF'), { text: 'nichts ist gehalten: EOF', lang: undefined });
});

test('parts in parts', () => {
  assert.equal(german('the lamps on "a", "b" and "c" hold').text, 'die Lampen auf „a“, „b“ und „c“ halten');
  assert.equal(german('the lamps on 0:0:1 hold').text, 'die Lampen auf 0:0:1 halten');
});

test('what is not known is English, and said to be', () => {
  for (const text of ['salt and pepper', 'group', 'nothing is hel', 'Nothing is held', ' nothing is held', 'a: b; c: d; e', '"', '\\', '(', '{}']) {
    assert.deepEqual(german(text), { text, lang: 'en' });
  }
  assert.deepEqual(german(''), { text: '', lang: undefined });
  assert.deepEqual(translated('nothing is held', en.daemon), { text: 'nothing is held', lang: undefined });
});

test('a part that has to be known', () => {
  assert.deepEqual(german('salt (and 2 more)'), { text: 'salt (and 2 more)', lang: 'en' });
  assert.equal(german('nothing is held (and 2 more)').text, 'nichts ist gehalten (und 2 weitere)');
});

test('words by themselves', () => {
  assert.equal(translatedWord('look tide', small), 'Look tide');
  assert.equal(translatedWord('nowhere', small), 'nowhere');
  assert.equal(translatedWord('look tide', en.daemon), 'look tide');
});

test('numbers have the point of the language', () => {
  speak('de');
  assert.equal(german('it fades in 1.25 s').text, 'blendet in 1,25 s');
  assert.equal(german('the lamps on 10.0.0.7 hold').text, 'die Lampen auf 10.0.0.7 halten');
  speak('en');
});

test('a long sentence of many names and joints is looked up in no time', () => {
  const names = Array.from({ length: 200 }, (_, i) => `"lamp ${i}: x; y (z"`).join(', ');
  const began = performance.now();
  assert.match(translated(`the lamps here are ${names} and "last"`, de.daemon).text, /^hier gibt es die Lampen „lamp 0: x; y \(z“, .* und „last“$/);
  assert.equal(translated(`nobody knows ${names}: ${names}; ${names}`, de.daemon).lang, 'en');
  assert.ok(performance.now() - began < 2000, `${performance.now() - began} ms`);
});

test('the German of every sentence has the parts that the English has', () => {
  for (const list of [de.daemon.sentences, de.daemon.words]) {
    const alone = { ...de.daemon, sentences: list, words: [] };
    const english = list.map(([e]) => e);
    assert.deepEqual(english.filter((e, i) => english.indexOf(e) !== i), [], 'these are there twice');
    for (const [e, own] of list) {
      const parts = own.match(/\{\d+[*!]?\}/g) ?? [];
      const want = Array.from({ length: e.split('{}').length - 1 }, (_, i) => i + 1);
      assert.deepEqual(parts.map((p) => parseInt(p.slice(1), 10)).sort((a, b) => a - b), want, `${e} -> ${own}`);
      if (!own.includes('!}')) assert.equal(translated(e.replaceAll('{}', '7'), alone).lang, undefined, e);
    }
  }
});

test('a refusal of the daemon is marked as English where it has no German, one of the page never is', () => {
  assert.deepEqual(toldRefusal({ code: 'not-held', message: 'nothing is held' }), { message: 'nothing is held', mend: '', lang: undefined, mendLang: undefined });
});
