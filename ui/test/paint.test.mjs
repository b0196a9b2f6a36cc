// What painting comes to: cells, patterns, levels, and the edits of the files.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { LOCUS, inside, intoLocus, planckian, uvOf, uvText, whiteText, xyOf } from '../paint/chart.js';
import { levelText, parseLevel, sliderOf, valueAt } from '../paint/level.js';
import { editsOf, everyOther, groupOf, half, membersText, wornNow } from '../paint/model.js';
import { createStudio, runs } from '../paint/studio.js';

const lamp = (id, first, n) => ({ id, first_cell: first, cells: Array.from({ length: n }, () => ({ place: [0, 0, 0], most_lumens: 1 })) });
const plan = {
  location: 'hall',
  lamps: [lamp('lane-1', 0, 8), lamp('lane-2', 8, 8), lamp('key', 16, 1)],
  groups: [{ name: 'lanes', cells: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15] }, { name: 'key', cells: [16] }],
};
const look = {
  look: 'dusk', location: '', wearing: 'ada',
  layers: [
    { look: 'base', location: '', paint: [{ number: 1, on: 'lanes', pattern: 'alternate', colours: ['lead', 'second'], level: '40%' }] },
    { look: 'dusk', location: '', paint: [{ number: 1, on: 'lanes', pattern: '', colours: [], level: '20%' }, { number: 2, on: 'key', pattern: 'solid', colours: ['3200 K'], level: '30%' }] },
  ],
  cast: [],
};

test('cells are chosen by what they have in common', () => {
  assert.deepEqual(everyOther([4, 5, 6, 7, 8]), [4, 6, 8]);
  assert.deepEqual(half([1, 2, 3], 'first'), [1, 2]);
  assert.deepEqual(half([1, 2, 3], 'second'), [3]);
  assert.equal(groupOf([16], plan), 'key');
  assert.equal(groupOf([0, 1], plan), '');
});

test('cells are written as a group lists them', () => {
  assert.equal(membersText([0, 1, 2, 3, 4, 5, 6, 7], plan), '[lane-1]');
  assert.equal(membersText([4, 5, 6, 7, 8, 9, 16], plan), '[lane-1 cells 5-8, lane-2 cells 1-2, key]');
  assert.equal(membersText([9, 3], plan), '[lane-2 cells 2, lane-1 cells 4]');
});

test('what a group wears is the newest colours and the newest level', () => {
  assert.deepEqual(wornNow(look, 'lanes'), { pattern: 'alternate', colours: ['lead', 'second'], level: '20%' });
  assert.deepEqual(wornNow(look, 'back'), { pattern: 'solid', colours: [], level: '' });
});

test('strokes become edits: a line that is there is changed, another is added', () => {
  const strokes = new Map([
    ['key', { pattern: 'solid', colours: ['5600 K'], level: '-1 stops' }],
    ['back', { pattern: 'halves', colours: ['lead', '{uv: [0.2000, 0.4000]}'], level: '10%' }],
  ]);
  const where = { location: 'hall', here: false, groups: new Map([['back', '[lane-2]']]) };
  assert.deepEqual(editsOf(look, strokes, where), [
    { do: 'add', what: 'group', location: 'hall', name: 'back', fields: { lamps: '[lane-2]' } },
    { do: 'change', what: 'paint', of: 'dusk', number: 2, fields: { colour: '5600 K', level: '-1 stops' } },
    { do: 'add', what: 'paint', of: 'dusk', fields: { on: 'back', pattern: 'halves', colours: '[lead, {uv: [0.2000, 0.4000]}]', level: '10%' } },
  ]);
  assert.deepEqual(editsOf(look, new Map([['key', strokes.get('key')]]), { location: 'hall', here: true, groups: new Map() }), [
    { do: 'add', what: 'look', location: 'hall', name: 'dusk', fields: { from: 'dusk', paint: '[{on: key, colour: 5600 K, level: -1 stops}]' } },
  ]);
  assert.deepEqual(editsOf({ ...look, location: 'hall' }, new Map([['key', strokes.get('key')]]), where).at(-1).location, 'hall');
});

test('levels are read, written and slid', () => {
  for (const text of ['40%', '-2 stops', '-1.5 stops under key at a', '+0.5 stops under key at a', '120 lx at a']) {
    assert.equal(levelText(parseLevel(text)), text);
    const level = parseLevel(text);
    assert.ok(Math.abs(valueAt(level.kind, sliderOf(level)) - level.value) < 1e-9, text);
  }
});

// The locus is that of the project's own table, the CIE 1931 observer of CIE 15.
test('the spectral locus is that of the standard observer', () => {
  const rows = readFileSync(new URL('../../colour/tables/cie1931_2deg_1nm.csv', import.meta.url), 'utf8')
    .split('\n').filter((l) => /^\d/.test(l)).map((l) => l.split(',').map(Number));
  const by = new Map(rows.map(([nm, x, y, z]) => [nm, uvOf(x / (x + y + z), y / (x + y + z))]));
  LOCUS.forEach(([u, v], i) => {
    const [wu, wv] = by.get(420 + 10 * i);
    assert.ok(Math.hypot(u - wu, v - wv) < 0.0006, `${420 + 10 * i} nm: ${u}, ${v} against ${wu}, ${wv}`);
  });
});

// CIE 15, illuminant A: 2856 K, u' 0.2560, v' 0.5243.
test('whites lie on the Planckian locus', () => {
  const [u, v] = planckian(2856);
  assert.ok(Math.hypot(u - 0.256, v - 0.5243) < 0.0005);
  const [x, y] = xyOf([u, v]);
  assert.ok(Math.hypot(x - 0.4476, y - 0.4074) < 0.0008);
});

test('a place beyond the locus is brought to it', () => {
  assert.ok(inside([0.2105, 0.4737], LOCUS));
  const p = intoLocus([0.6, 0.1]);
  assert.ok(inside(p, LOCUS));
  assert.equal(uvText([0.2, 0.45678]), '{uv: [0.2000, 0.4568]}');
  assert.equal(whiteText(4300, 0), '4300 K');
  assert.equal(whiteText(4300, -0.004), '{cct: 4300 K, tint: -0.004}');
});

test('runs of cells', () => {
  assert.equal(runs([7, 3, 4, 5]), '3-5,7');
});

/** A daemon that knows one look and answers what it is asked. */
function desk() {
  const asked = [];
  let frame = null;
  let state = null;
  const held = []; // answers that wait for the test, once it says so
  const holds = { on: false };
  const studio = createStudio({
    plan: () => plan,
    get: async (path) => (path.startsWith('/api/reach') ? { shared: [[0, 0], [1, 0], [0, 1]] } : structuredClone(look)),
    post: async (path, body) => {
      asked.push([path, structuredClone(body)]);
      if (holds.on) await new Promise((land) => held.push(land));
      if (path === '/api/try') return { xyz: [], rgb: [], paint: look };
      return { edit: { revision: 8, changed: ['look dusk: paint 2 on key'], waits: false } };
    },
    frame: (run) => { frame = run; },
    tell: (s) => { state = s; },
  });
  return { studio, asked, held, holds, state: () => state, tick: async () => { const run = frame; frame = null; run?.(); await new Promise(setImmediate); } };
}

test('a stroke is tried at once and written only after its changes were seen', async () => {
  const d = desk();
  await d.studio.open('dusk');
  await d.studio.choose([16]);
  assert.equal(d.state().group, 'key');
  assert.deepEqual(d.state().stroke.colours, ['3200 K']);
  assert.equal(d.state().reach.length, 3);
  d.studio.colour('5600 K');
  await d.tick();
  assert.deepEqual(d.asked[0], ['/api/try', { look: 'dusk', live: false, edits: [{ do: 'change', what: 'paint', of: 'dusk', number: 2, fields: { colour: '5600 K', level: '30%' } }] }]);
  await d.studio.save(7);
  assert.equal(d.asked[1][1].preview, true);
  assert.deepEqual(d.state().changes, ['look dusk: paint 2 on key']);
  await d.studio.save(7);
  assert.deepEqual([d.asked[2][0], d.asked[2][1].preview, d.asked[2][1].revision], ['/api/edit', undefined, 7]);
  assert.equal(d.state().strokes.size, 0);
});

test('what is tried is asked for one at a time, as a request that is late would undo the next', async () => {
  const d = desk();
  d.holds.on = true;
  await d.studio.open('dusk');
  await d.studio.choose([16]);
  for (const colour of ['5600 K', '4300 K', '3200 K']) {
    d.studio.colour(colour);
    await d.tick();
  }
  assert.equal(d.asked.length, 1);
  d.held.shift()();
  await new Promise(setImmediate);
  await d.tick();
  assert.equal(d.asked.length, 2);
  assert.equal(d.asked[1][1].edits[0].fields.level, '30%');
  assert.notDeepEqual(d.asked[1][1], d.asked[0][1], 'the newest of them');
});

test('a pattern waits for its second colour, and one colour is no pattern', async () => {
  const d = desk();
  await d.studio.open('dusk');
  await d.studio.choose(plan.groups[0].cells, 'lanes');
  d.studio.pattern('solid');
  assert.deepEqual(d.state().stroke.colours, ['lead']);
  d.studio.pattern('halves');
  assert.deepEqual(d.state().stroke.colours, ['lead', 'lead']);
  d.studio.take(1);
  d.studio.colour('second');
  assert.deepEqual(d.state().strokes.get('lanes'), { pattern: 'halves', colours: ['lead', 'second'], level: '20%' });
});

test('a pattern may be chosen before any colour', async () => {
  const d = desk();
  await d.studio.open('dusk');
  await d.studio.choose([0, 1]);
  d.studio.name('corner');
  d.studio.pattern('halves');
  assert.deepEqual(d.state().stroke, { pattern: 'halves', colours: [], level: '' });
  assert.equal(d.state().strokes.size, 0);
  d.studio.colour('lead');
  assert.deepEqual(d.state().strokes.get('corner').colours, ['lead', 'lead']);
});

test('cells that are no group are painted when they have a name', async () => {
  const d = desk();
  await d.studio.open('dusk');
  await d.studio.choose([0, 1]);
  d.studio.colour('lead');
  assert.equal(d.state().strokes.size, 0);
  d.studio.name('corner');
  d.studio.colour('lead');
  assert.equal(d.state().groups.get('corner'), '[lane-1 cells 1-2]');
  assert.equal(d.state().strokes.get('corner').colours[0], 'lead');
});

test('undo and redo are made one after the other, however fast they are tapped', async () => {
  const d = desk();
  await d.studio.open('dusk');
  await Promise.all([d.studio.step('undo'), d.studio.step('undo'), d.studio.step('redo')]);
  assert.deepEqual(d.asked.map(([path]) => path), ['/api/undo', '/api/undo', '/api/redo']);
  assert.equal(d.state().busy, false);
});
