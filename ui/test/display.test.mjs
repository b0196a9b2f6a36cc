// Colour mapping against culori 4 (an open colour library that follows CSS
// Color 4), WCAG 2.2 contrast as culori computes it.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { displayMatrix, encode, expose, intoGamut, luminance, swatch, toByte, toLinear } from '../light/display.js';
import { threads } from '../pad/curtain.js';
import { reference } from './reference.mjs';

const { converter, wcagContrast } = reference('culori');
const lrgb = converter('lrgb');
const rgb = converter('rgb');

const D65 = [0.3127, 0.329];
const D50 = [0.3457, 0.3585]; // CSS Color 4, section 10.2

function linear(balance, [x, y, z]) {
  const out = [0, 0, 0];
  toLinear(displayMatrix(balance), x, y, z, out);
  return out;
}

function near(got, want, within, what) {
  got.forEach((v, i) => assert.ok(Math.abs(v - want[i]) <= within, `${what}: got ${got}, want ${want}`));
}

/** A grid of colours, in and far out of the screen's reach. */
function* colours() {
  for (let x = 0.1; x < 0.75; x += 0.06) {
    for (let y = 0.05; x + y < 1; y += 0.06) {
      for (const Y of [0.004, 0.2, 1, 6]) yield [(x / y) * Y, Y, ((1 - x - y) / y) * Y];
    }
  }
}

test('a camera balanced to D65 sees XYZ as sRGB has it', () => {
  for (const [x, y, z] of colours()) {
    const want = lrgb({ mode: 'xyz65', x, y, z });
    near(linear(D65, [x, y, z]), [want.r, want.g, want.b], 2e-5 * (1 + x + y + z), `XYZ ${x} ${y} ${z}`);
  }
});

test('a camera balanced to D50 adapts as Bradford does', () => {
  for (const [x, y, z] of colours()) {
    const want = lrgb({ mode: 'xyz50', x, y, z });
    near(linear(D50, [x, y, z]), [want.r, want.g, want.b], 2e-4 * (1 + x + y + z), `XYZ ${x} ${y} ${z}`);
  }
});

test('the white that the camera is balanced to comes out neutral', () => {
  for (const [x, y] of [[0.3666, 0.3663], [0.4476, 0.4074], D65]) {
    near(linear([x, y], [x / y, 1, (1 - x - y) / y]), [1, 1, 1], 1e-6, `balance ${x} ${y}`);
  }
});

test('code values follow the sRGB curve', () => {
  for (let v = 0; v <= 1.0001; v += 1 / 512) {
    const want = rgb({ mode: 'lrgb', r: v, g: v, b: v }).r;
    assert.ok(Math.abs(encode(v) - want) < 1e-6, `${v}: got ${encode(v)}, want ${want}`);
    assert.ok(Math.abs(toByte(v) - 255 * want) <= 1.2, `${v}: byte ${toByte(v)}, want ${255 * want}`);
  }
  assert.equal(encode(-1), 0);
  assert.equal(encode(2), 1);
});

test('into gamut: luminance stays, no channel under zero, on the line to white, no further than needed', () => {
  let mapped = 0;
  for (const xyz of colours()) {
    const before = linear(D65, xyz);
    const after = [...before];
    intoGamut(after);
    const Y = luminance(before);
    assert.ok(Math.abs(luminance(after) - Y) < 1e-9 * (1 + Y), `luminance of ${before}: ${luminance(after)}, want ${Y}`);
    assert.ok(Math.min(...after) >= 0, `${after}`);
    if (Math.min(...before) >= 0) {
      assert.deepEqual(after, before);
      continue;
    }
    mapped++;
    // The same point by search: the largest share of the way from white that shows.
    let low = 0;
    let high = 1;
    for (let i = 0; i < 60; i++) {
      const mid = (low + high) / 2;
      if (before.every((v) => Y + (v - Y) * mid >= 0)) low = mid;
      else high = mid;
    }
    near(after, before.map((v) => Y + (v - Y) * low), 1e-9 * (1 + Y), `${before}`);
  }
  assert.ok(mapped > 100, `only ${mapped} colours were out of gamut`);
});

test('what has no light shows none', () => {
  const rgb = [-1, 0, -0.2];
  intoGamut(rgb);
  assert.deepEqual(rgb, [0, 0, 0]);
});

test('exposure is straight in the dark, keeps hue, rises, and never passes its cap', () => {
  let last = 0;
  for (let gain = 0.01; gain < 200; gain *= 1.13) {
    const got = [1, 0.4, 0.05];
    expose(got, gain, 0.8);
    assert.ok(Math.max(...got) <= 0.8 + 1e-12, `gain ${gain}: ${got}`);
    assert.ok(got[0] >= last, `gain ${gain} is darker than a smaller one`);
    last = got[0];
    if (gain <= 0.5) near(got, [0.8 * gain, 0.32 * gain, 0.04 * gain], 1e-12, `gain ${gain}`);
    if (gain <= 1.5) assert.ok(Math.abs(got[1] / got[0] - 0.4) < 1e-9, `hue moved at gain ${gain}: ${got}`);
    assert.ok(got[0] >= got[1] && got[1] >= got[2], `order of channels at gain ${gain}: ${got}`);
  }
});

test('no swatch shines', () => {
  for (const xyz of colours()) {
    const got = swatch(displayMatrix(D65), xyz);
    assert.ok(Math.max(...got) <= 0.5 + 1e-9 && luminance(got) <= 0.2 + 1e-9, `${xyz}: ${got}`);
    assert.ok(Math.max(...got) > 0.1, `${xyz} is lost: ${got}`);
  }
});

/** A colour of base.css by its name. */
function cssVariable(name) {
  const css = readFileSync(new URL('../base.css', import.meta.url), 'utf8');
  return new RegExp(`--${name}:\\s*(#[0-9a-f]{6});`).exec(css)[1];
}

test('words keep the contrast that WCAG 2.2 asks for (1.4.3: 4.5, 1.4.11: 3)', () => {
  for (const name of ['text', 'soft', 'accent']) {
    assert.ok(wcagContrast(cssVariable(name), '#000') >= 4.5, `${name}: ${wcagContrast(cssVariable(name), '#000')}`);
  }
  assert.ok(wcagContrast(cssVariable('line'), '#000') >= 3, `line: ${wcagContrast(cssVariable('line'), '#000')}`);
  assert.ok(wcagContrast(cssVariable('text'), cssVariable('faint')) >= 4.5, 'text on the wedge of the overall level');
});

test('words on the curtain keep their contrast whatever hangs there', () => {
  const text = cssVariable('text');
  const plan = { balance: D65, lamps: [{ first_cell: 0, cells: [{ most_lumens: 1 }] }] };
  for (const [x, y, z] of colours()) {
    const [r, g, b] = threads(plan, new Float32Array([x, y, z]));
    const contrast = wcagContrast(text, { mode: 'rgb', r: r / 255, g: g / 255, b: b / 255 });
    assert.ok(contrast >= 4.5, `XYZ ${x} ${y} ${z}: thread ${r} ${g} ${b}, contrast ${contrast}`);
  }
});
