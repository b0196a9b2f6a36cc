import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { createTheme } from '../theme.js';

/** Colours of each theme, as the style sheets say them. */
function palettes() {
  const read = (name) => readFileSync(new URL(`../${name}`, import.meta.url), 'utf8');
  const block = (css, selector) => {
    const at = css.indexOf(`${selector} {`);
    assert.ok(at >= 0, selector);
    return Object.fromEntries([...css.slice(at, css.indexOf('}', at)).matchAll(/--(\w+): (#[0-9a-f]{3,6});/g)].map((m) => [m[1], m[2]]));
  };
  const night = block(read('base.css'), ':root');
  const day = block(read('theme.css'), ':root[data-theme="day"]');
  const hot = block(read('theme.css'), ':root[data-hot="true"]');
  return { night, day: { ...night, ...day }, hot: { ...night, ...hot } };
}

/** WCAG 2.2, relative luminance of an sRGB colour. */
function luminance(hex) {
  const digits = hex.length === 4 ? [...hex.slice(1)].map((d) => d + d) : hex.slice(1).match(/../g);
  const [r, g, b] = digits.map((d) => parseInt(d, 16) / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a, b) {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}

test('the measure of contrast is the right one', () => {
  assert.equal(contrast('#000', '#fff'), 21); // WCAG 2.2, contrast ratio: from 1 to 21
});

// WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (what tells a control apart 3:1).
test('words and lines stand out in every theme', () => {
  for (const [name, p] of Object.entries(palettes())) {
    for (const ground of ['ground', 'raised']) {
      for (const ink of ['text', 'soft', 'accent']) {
        const c = contrast(p[ink], p[ground]);
        assert.ok(c >= 4.5, `${name}: ${ink} on ${ground} is ${c.toFixed(2)}`);
      }
      const c = contrast(p.line, p[ground]);
      assert.ok(c >= 3, `${name}: line on ${ground} is ${c.toFixed(2)}`);
    }
  }
});

test('the hot page is darker than the cold one', () => {
  const { night, hot } = palettes();
  assert.ok(luminance(hot.accent) < luminance(night.accent));
});

function fakeDocument() {
  return { documentElement: { dataset: {} }, querySelector: () => null };
}

test('a hot set is dark, whatever was chosen, and the choice is kept', () => {
  const kept = new Map();
  const keep = { getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, v) };
  const doc = fakeDocument();
  const theme = createTheme(doc, keep);
  assert.equal(doc.documentElement.dataset.theme, 'night');
  theme.choose('day');
  assert.equal(doc.documentElement.dataset.theme, 'day');
  theme.hot(true);
  assert.deepEqual(doc.documentElement.dataset, { theme: 'night', hot: 'true' });
  theme.hot(false);
  assert.equal(doc.documentElement.dataset.theme, 'day');
  assert.equal(createTheme(fakeDocument(), keep).chosen(), 'day');
});

test('without storage the choice lasts as long as the page', () => {
  const off = () => { throw new Error('off'); };
  const theme = createTheme(fakeDocument(), { getItem: off, setItem: off });
  theme.choose('day');
  assert.equal(theme.chosen(), 'day');
});
