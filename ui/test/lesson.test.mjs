import assert from 'node:assert/strict';
import test from 'node:test';
import { createLesson, STEPS, teaches } from '../teach/lesson.js';

function memory() {
  const kept = new Map();
  return { getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, v) };
}

const did = (command, ago_ms = 0, ok = true) => ({ last: { source: 'page', from: '', command, ok, ago_ms } });

test('each step is done by its verb and by no other', () => {
  const lesson = createLesson(memory());
  lesson.heard({ last: null });
  for (const [i, [, verb]] of STEPS.entries()) {
    assert.equal(lesson.step(), i);
    lesson.heard(did('standby'));
    lesson.heard(did(verb, 0, false));
    assert.equal(lesson.step(), i, 'refused is not done');
    lesson.heard(did(verb));
    assert.equal(lesson.step(), i + 1);
    lesson.heard(did(verb, 40));
  }
  assert.equal(lesson.step(), STEPS.length);
});

test('what was done before the page came is not learnt', () => {
  const lesson = createLesson(memory());
  lesson.heard(did('cue', 900));
  lesson.heard(did('cue', 940));
  assert.equal(lesson.step(), 0);
  lesson.heard(did('cue', 5));
  assert.equal(lesson.step(), 1);
});

test('once over it never comes again', () => {
  const keep = memory();
  const lesson = createLesson(keep);
  lesson.end();
  assert.equal(lesson.step(), null);
  assert.equal(createLesson(keep).step(), null);
  assert.equal(createLesson({ getItem: () => { throw new Error('off'); }, setItem() {} }).step(), null);
});

test('only software lamps are for learning', () => {
  assert.equal(teaches(null), false);
  assert.equal(teaches({ nodes: [{ name: 'a' }] }), false);
  assert.equal(teaches({ nodes: [{ name: 'a', software: true }] }), true);
});
