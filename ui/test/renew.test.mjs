import assert from 'node:assert/strict';
import test from 'node:test';
import { createRenewal, versionIn } from '../renew.js';

const A = 'a'.repeat(16);
const B = 'b'.repeat(16);

function setUp(index, ok = true) {
  const kept = new Map();
  const t = { reloads: 0, index, ok };
  t.renewal = createRenewal({
    own: `http://daemon/at/${A}/main.js`,
    fetch: async () => {
      if (t.index === null) throw new TypeError('gone');
      return { ok: t.ok, text: async () => t.index };
    },
    reload: () => t.reloads++,
    keep: { getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, v) },
  });
  return t;
}

test('the version is in the folder of the scripts', () => {
  assert.equal(versionIn(`<script src="at/${A}/main.js">`), A);
  assert.equal(versionIn('http://127.0.0.1/main.js'), '');
});

test('another page is loaded, once', async () => {
  const t = setUp(`<script src="at/${B}/main.js">`);
  await t.renewal.check();
  assert.equal(t.reloads, 1);
  await t.renewal.check();
  assert.equal(t.reloads, 1, 'a page that cannot be had is not asked for in a circle');
});

test('the same page, a refusal and a dead link change nothing', async () => {
  const t = setUp(`<script src="at/${A}/main.js">`);
  await t.renewal.check();
  t.ok = false;
  t.index = `at/${B}/`;
  await t.renewal.check();
  t.index = null;
  await t.renewal.check();
  assert.equal(t.reloads, 0);
});
