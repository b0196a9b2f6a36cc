import assert from 'node:assert/strict';
import test from 'node:test';
import { tap } from '../parts/tap.js';

const button = { getBoundingClientRect: () => ({ left: 10, right: 60, top: 10, bottom: 60 }) };
const at = (x, y, more = {}) => ({ pointerId: 1, button: 0, currentTarget: button, clientX: x, clientY: y, detail: 0, ...more });

function setUp() {
  const t = { n: 0 };
  t.drawn = () => tap(() => t.n++); // each drawing of the page makes new handlers
  return t;
}

test('down and up over the button acts once, also when the page was drawn between', () => {
  const t = setUp();
  t.drawn().onPointerDown(at(20, 20));
  t.drawn().onPointerUp(at(25, 22));
  t.drawn().onClick(at(25, 22, { detail: 1 }));
  assert.equal(t.n, 1);
});

test('a finger that slides off does nothing', () => {
  const t = setUp();
  t.drawn().onPointerDown(at(20, 20));
  t.drawn().onPointerUp(at(20, 90));
  assert.equal(t.n, 0);
});

test('a touch that became a scroll, began elsewhere or is no main button does nothing', () => {
  const t = setUp();
  t.drawn().onPointerDown(at(20, 20));
  t.drawn().onPointerCancel(at(20, 20));
  t.drawn().onPointerUp(at(20, 20));
  t.drawn().onPointerUp(at(20, 20, { pointerId: 2 }));
  t.drawn().onPointerDown(at(20, 20, { currentTarget: {} }));
  t.drawn().onPointerUp(at(20, 20));
  t.drawn().onPointerDown(at(20, 20, { button: 2 }));
  t.drawn().onPointerUp(at(20, 20, { button: 2 }));
  assert.equal(t.n, 0);
});

test('keyboard and assistive technology click without a pointer', () => {
  const t = setUp();
  t.drawn().onClick(at(0, 0, { detail: 0 }));
  assert.equal(t.n, 1);
});
