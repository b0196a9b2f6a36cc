import assert from 'node:assert/strict';
import test from 'node:test';
import { decimal, latency, lengthText, percent, remaining, roundLength, speak, time, trimmed, trimSteps, words } from '../format.js';

test('times read with their unit', () => {
  for (const [ms, want] of [
    [0, '0 s'], [20, '20 ms'], [250, '0.3 s'], [500, '0.5 s'], [999, '1 s'], [1000, '1 s'], [2500, '2.5 s'], [9949, '9.9 s'], [10000, '10 s'],
    [10400, '10 s'], [59600, '1 min'], [80000, '1 min 20 s'], [120000, '2 min'], [-5, '0 s'],
  ]) assert.equal(time(ms), want, `${ms} ms`);
});

test('what is left never shows less than there is', () => {
  for (const [ms, want] of [[0, '0.0 s'], [1, '0.1 s'], [3200, '3.2 s'], [3201, '3.3 s'], [9940, '10.0 s'], [9960, '10 s'], [12001, '13 s'], [75000, '1 min 15 s']]) {
    assert.equal(remaining(ms), want, `${ms} ms`);
  }
});

test('shares, round trips, names', () => {
  assert.equal(percent(0.425), '43 %');
  assert.equal(percent(1), '100 %');
  assert.equal(latency(0.4), 'under 1 ms');
  assert.equal(latency(12.4), '12 ms');
  assert.equal(words('deep-end_wide'), 'deep end wide');
});

test('trim goes by halves and doubles around the written time, and stops at its ends', () => {
  assert.deepEqual(trimSteps(4000), { steps: [0, 1000, 2000, 4000, 8000, 16000], written: 3 });
  assert.deepEqual(trimmed(4000, 0), { ms: 4000, step: 0, atLeast: false, atMost: false });
  assert.deepEqual(trimmed(4000, -1), { ms: 2000, step: -1, atLeast: false, atMost: false });
  assert.deepEqual(trimmed(4000, -9), { ms: 0, step: -3, atLeast: true, atMost: false });
  assert.deepEqual(trimmed(4000, 5), { ms: 16000, step: 2, atLeast: false, atMost: true });
});

test('a snap can be made longer, not shorter', () => {
  assert.deepEqual(trimmed(0, 0), { ms: 0, step: 0, atLeast: true, atMost: false });
  assert.deepEqual(trimmed(0, 1), { ms: 500, step: 1, atLeast: false, atMost: false });
  assert.equal(trimmed(0, -1).step, 0);
});

test('numbers are written by the language, and as in English where a system has none', () => {
  speak('de-CH');
  assert.equal(decimal(1.5, 1), '1.5');
  speak('de-DE');
  assert.equal(decimal(1.5, 1), '1,5');
  for (const none of ['C', '', 'en_US.UTF-8']) {
    speak(none);
    assert.equal(decimal(1.5, 1), '1.5', none);
  }
});

// NIST SP 811: an international foot is 0.3048 m.
test('lengths are in feet too where people count in feet', () => {
  speak('en');
  assert.equal(lengthText(3.048, 'en-US'), '3.0 m (10.0 ft)');
  assert.equal(lengthText(3.048, 'en-GB'), '3.0 m');
  assert.deepEqual(roundLength(2, 'de-DE'), { metres: 2, text: '2 m' });
  const us = roundLength(2, 'en-US');
  assert.equal(us.text, '6 ft');
  assert.ok(Math.abs(us.metres - 1.8288) < 1e-12);
});
