// What the rig comes to: addresses, how lamps stand, the walk, circuits.

import assert from 'node:assert/strict';
import test from 'node:test';

import { addressText, clashes, number, overruns, parseAddress, portText } from '../rig/address.js';
import { createEditor } from '../rig/editor.js';
import { APART_MS, createPointer } from '../rig/pointer.js';
import { amperes, circuits, groupsWith, lampsOf } from '../rig/power.js';
import { flipped, hasEnds, onStep, pointText, turnFields, turnOf, turnStep, turned } from '../rig/stand.js';
import { answering, beginWalk, goOn, keptWalk, markLamp, noteTurned, servedBy, tally } from '../rig/walk.js';

const lamp = (id, more = {}) => ({
  id, kit: id, type: 'tube', mode: 'm', footprint: 10, watts: 40, class: 'tube', place: [1, 2, 0], along: [1, 0, 0], aim: null,
  address: '0:0:1.001', circuit: 'a', length_m: 1, width_m: 0.05, cells: [{}, {}], first_cell: 0, ...more,
});

// Art-Net 4, Port-Address: net 7 bits, sub-net and universe 4 each.
test('addresses are read and written', () => {
  assert.deepEqual(parseAddress('0:0:1.001'), { port: 1, slot: 1 });
  assert.deepEqual(parseAddress(' 127:15:15.512 '), { port: 0x7fff, slot: 512 });
  assert.deepEqual(parseAddress('1:2:3.4'), { port: 0x123, slot: 4 });
  for (const bad of ['', '0:0:1', '0:0:16.1', '0:16:0.1', '128:0:0.1', '0:0:1.0', '0:0:1.513', '0:0:1.001x', 'a']) assert.equal(parseAddress(bad), null, bad);
  for (const text of ['0:0:1.001', '127:15:15.512', '1:2:3.040']) assert.equal(addressText(parseAddress(text)), text);
  assert.equal(portText(0x123), '1:2:3');
});

test('lamps on the same slots clash, neighbours do not', () => {
  const found = clashes([
    lamp('a', { address: '0:0:1.001' }), lamp('b', { address: '0:0:1.010' }), lamp('c', { address: '0:0:1.020' }),
    lamp('d', { address: '0:0:2.001' }), lamp('e', { address: '0:0:1.015', footprint: 100 }), lamp('none', { address: '' }), lamp('haze', { footprint: 0 }),
  ]);
  assert.deepEqual(Object.fromEntries([...found].map(([k, v]) => [k, v.sort()])), { a: ['b'], b: ['a', 'e'], c: ['e'], e: ['b', 'c'] });
  assert.equal(overruns(lamp('a', { address: '0:0:1.503' })), false);
  assert.equal(overruns(lamp('a', { address: '0:0:1.504' })), true);
});

test('addresses given automatically fill universes without a clash', () => {
  const lamps = Array.from({ length: 9 }, (_, i) => lamp(`l${i}`, { footprint: 163 }));
  const given = number(lamps, { port: 15, slot: 1 });
  assert.deepEqual(given.map((g) => g.address), [
    '0:0:15.001', '0:0:15.164', '0:0:15.327', '0:1:0.001', '0:1:0.164', '0:1:0.327', '0:1:1.001', '0:1:1.164', '0:1:1.327',
  ]);
  const after = lamps.map((l, i) => ({ ...l, address: given[i].address }));
  assert.equal(clashes(after).size, 0);
  assert.deepEqual(number(after, { port: 15, slot: 1 }), [], 'nothing changes the second time');
  assert.equal(number(lamps, { port: 0x7fff, slot: 400 }), null, 'the addresses end');
  assert.deepEqual(number([lamp('haze', { footprint: 0 })], { port: 1, slot: 1 }), []);
});

test('a lamp turns about where it stands', () => {
  const tube = lamp('t', { along: [0, 1, 0] });
  assert.deepEqual(turnOf(tube), { by: 'along', degrees: 90 });
  assert.deepEqual(turnFields(turned(tube, 0)), { along: '[1, 0, 0]' });
  assert.deepEqual(flipped(lamp('t', { along: [0.5, 0, -1] })), { along: '[-0.5, 0, 1]' });
  assert.equal(turnOf(lamp('t', { along: [0, 0, 1] })), null, 'a standing tube has no direction from above');
  const spot = lamp('s', { class: 'spot', along: [0, 0, 0], place: [1, 1, 3], aim: [1, 4, 0.5] });
  assert.deepEqual(turnOf(spot), { by: 'aim', degrees: 90 });
  assert.deepEqual(turnFields(turned(spot, 180)), { aim: '[-2, 1, 0.5]' }, 'its aim keeps distance and height');
  assert.equal(turnOf(lamp('s', { class: 'spot', along: [0, 0, 0], aim: [1, 2, 0] })), null, 'straight down');
  assert.equal(hasEnds(tube), true);
  assert.equal(hasEnds(spot), false);
  assert.equal(turnStep(0, -1), 270);
  assert.equal(turnStep(1, -0.01), 0, 'never 360');
  assert.equal(onStep(1.23), 1.2);
  assert.equal(pointText([2, 3.2, 0.05]), '[2, 3.2, 0.05]');
  assert.equal(pointText([0.1 + 0.2, -0, 1e-9]), '[0.3, 0, 0]');
});

test('a walk goes once round and keeps what it found', () => {
  const rig = ['a', 'b', 'c'].map((id) => lamp(id));
  let walk = beginWalk('hall', rig);
  assert.equal(walk.at, 'a');
  walk = goOn(walk, rig); // past a, without a mark
  walk = markLamp(walk, 'missing', rig);
  assert.equal(walk.at, 'c');
  walk = noteTurned(walk, 'c');
  walk = markLamp(walk, 'found', rig);
  assert.equal(walk.at, 'a', 'back to what was passed over');
  const kept = keptWalk(JSON.stringify(walk), 'hall', rig);
  assert.deepEqual(kept, walk, 'it outlasts a reload');
  walk = markLamp(kept, 'found', rig);
  assert.equal(walk.at, '', 'the end');
  const t = tally(walk, rig, [{ name: 'n', ip: '', ports: ['0:0:2'], lost: false }]);
  assert.deepEqual([t.found, t.missing, t.open, t.turned].map((l) => l.map((x) => x.id)), [['a', 'c'], ['b'], [], ['c']]);
  assert.equal(t.unserved.length, 3);
  assert.deepEqual(noteTurned(walk, 'c').turned, [], 'twice is not at all');
  for (const other of [null, '', '{', '{"location":"barn","marks":{},"turned":[]}', '{"location":"hall","marks":1,"turned":[]}', '7']) {
    assert.equal(keptWalk(other, 'hall', rig), null, String(other));
  }
  assert.deepEqual(keptWalk('{"location":"hall","at":"gone","marks":{"gone":"found","a":"odd"},"turned":["gone"]}', 'hall', rig), { location: 'hall', at: '', marks: {}, turned: [] });
});

test('a lamp is served by the node that puts out its address', () => {
  const nodes = [{ name: 'old', ports: ['0:0:1'], lost: true }, { name: 'new', ports: [], lost: false }, { name: 'here', ports: ['0:0:1', '0:0:2'], lost: false }];
  assert.equal(servedBy(lamp('a'), nodes).name, 'here');
  assert.equal(servedBy(lamp('a'), nodes.slice(0, 1)).name, 'old');
  assert.equal(servedBy(lamp('a', { address: '0:0:3.001' }), nodes), null);
});

test('only a device that answers shows itself', () => {
  const rows = [
    { place: 'a', uid: 'U1', right: true, findings: [{ kind: 'right' }] },
    { place: 'b', uid: 'U2', right: false, findings: [{ kind: 'no-answer' }] },
    { place: 'c', right: false, findings: [{ kind: 'not-found' }] },
    { place: 'd', uid: 'U4', right: false, findings: [{ kind: 'wrong-address' }, { kind: 'wrong-label' }] },
  ];
  assert.deepEqual(['a', 'b', 'c', 'd', 'e'].map((id) => answering(id, rows)), ['U1', '', '', 'U4', '']);
});

test('circuits add up what their lamps state', () => {
  const rig = [lamp('a'), lamp('b', { circuit: 'b', watts: 900 }), lamp('c', { watts: 0 }), lamp('d', { circuit: '' })];
  assert.deepEqual(circuits(rig).map((c) => [c.name, c.lamps.length, c.watts, c.silent]), [['a', 2, 40, 1], ['b', 1, 900, 0], ['', 1, 40, 0]]);
  // 300 W at 230 V and power factor 0.95 are 1.37 A (I = P/(U·PF)); here at 0.9.
  assert.ok(Math.abs(amperes(300, 230) - 1.37 * 0.95 / 0.9) < 0.01);
});

test('groups know their lamps in their order', () => {
  const rig = [lamp('a', { first_cell: 0 }), lamp('b', { first_cell: 2 }), lamp('c', { first_cell: 4, cells: [] })];
  const groups = [{ name: 'edge', cells: [3, 2, 0] }, { name: 'ends', cells: [1] }];
  assert.deepEqual(lampsOf(groups[0], rig).map((l) => l.id), ['b', 'a']);
  assert.deepEqual(groupsWith(rig[0], groups).map((g) => g.name), ['edge', 'ends']);
  assert.deepEqual(groupsWith(rig[2], groups), []);
});

/** A pointer on a clock of its own, and what it asked. */
function pointer(refuse = {}) {
  let now = 1000;
  const asked = [];
  const told = [];
  const timers = [];
  const p = createPointer({
    act: async (c) => {
      asked.push(c.lamp ? `light ${c.lamp}` : 'light off');
      return refuse[c.lamp] ? { ok: false, sent: true, refusal: { code: refuse[c.lamp], message: 'no' } } : { ok: true, ms: 1 };
    },
    post: async (path, body) => {
      asked.push(`rdm ${body.uid} ${body.on}`);
      if (refuse[body.uid] && body.on) throw { code: 'x', message: 'no' };
    },
    now: () => now,
    setTimer: (run, ms) => timers.push({ run, at: now + ms }),
    tell: (r) => r && told.push(r.message),
  });
  const rest = () => new Promise((done) => setImmediate(done));
  return {
    p, asked, told, rest,
    async pass(ms) {
      now += ms;
      for (const t of timers.splice(0).filter((t) => t.at <= now || (timers.push(t), false))) t.run();
      await rest();
    },
  };
}

test('a lamp is told to stop until the daemon has said that it does', async () => {
  const refuse = { '': 'no-answer' };
  const w = pointer(refuse);
  w.p.show('a', '');
  await w.rest();
  w.p.stop();
  await w.rest();
  await w.pass(APART_MS);
  refuse[''] = '';
  await w.pass(APART_MS);
  await w.pass(APART_MS);
  assert.deepEqual(w.asked, ['light a', 'light off', 'light off', 'light off']);
});

test('a lamp that may be on, as no answer came, is told to stop', async () => {
  const w = pointer({ a: 'no-answer' });
  w.p.show('a', '');
  await w.rest();
  w.p.stop();
  await w.rest();
  assert.deepEqual(w.asked, ['light a', 'light off']);
});

test('where the daemon refuses the next lamp, the one before is still on', async () => {
  const refuse = { b: 'no-light', c: 'too-soon' };
  const w = pointer(refuse);
  w.p.show('a', '');
  await w.rest();
  w.p.show('b', '');
  await w.pass(APART_MS);
  w.p.stop();
  await w.rest();
  assert.deepEqual(w.asked, ['light a', 'light b', 'light off']);
  assert.deepEqual(w.told, ['no']);

  w.p.show('c', '');
  await w.pass(APART_MS);
  refuse.c = '';
  await w.pass(APART_MS);
  w.p.stop();
  await w.rest();
  assert.deepEqual(w.asked.slice(3), ['light c', 'light c', 'light off'], 'too soon is only later');
  assert.deepEqual(w.told, ['no']);
});

test('the newest wish wins, and lamps keep apart', async () => {
  const w = pointer();
  w.p.show('a', '');
  await w.rest();
  w.p.show('b', '');
  w.p.show('c', '');
  await w.rest();
  assert.deepEqual(w.asked, ['light a'], 'too soon for another');
  await w.pass(APART_MS);
  assert.deepEqual(w.asked, ['light a', 'light c']);
  w.p.show('d', 'U4');
  await w.rest();
  w.p.show('e', 'U5');
  await w.rest();
  w.p.stop();
  await w.rest();
  assert.deepEqual(w.asked.slice(2), ['light off', 'rdm U4 true', 'rdm U4 false', 'rdm U5 true', 'rdm U5 false']);
  w.p.stop();
  await w.rest();
  assert.equal(w.asked.length, 7, 'nothing to stop');
});

test('a lamp that does not show itself is told', async () => {
  const w = pointer({ a: true, U1: true });
  w.p.show('a', '');
  await w.rest();
  w.p.show('b', 'U1');
  await w.rest();
  assert.deepEqual(w.told, ['no', 'no']);
  w.p.stop();
  await w.rest();
  assert.deepEqual(w.asked, ['light a', 'rdm U1 true']);
});

test('edits are made of what the one before them left', async () => {
  let plan = { location: 'hall', lamps: [lamp('a', { along: [1, 0, 0] })] };
  let revision = 7;
  const asked = [];
  const told = [];
  const edit = createEditor({
    post: async (path, body) => {
      assert.equal(path, '/api/edit');
      asked.push([body.revision, ...body.edits.map((e) => e.fields.along)]);
      if (body.edits[0].fields.along === 'bad') throw { code: 'x', message: 'no' };
      revision++;
      const along = JSON.parse(body.edits[0].fields.along);
      setImmediate(() => { plan = { ...plan, lamps: [{ ...plan.lamps[0], along }] }; });
      return { edit: { revision, waits: false } };
    },
    plan: () => plan, revision: () => revision, rest: () => new Promise((done) => setImmediate(done)),
    tell: (r) => r && told.push(r.message), noEditor: { code: 'no', message: 'none' },
  });
  const flip = (p) => [{ do: 'change', what: 'lamp', name: 'a', fields: flipped(p.lamps[0]) }];
  assert.deepEqual(await Promise.all([edit(flip), edit(flip)]), [true, true]);
  assert.deepEqual(asked, [[7, '[-1, 0, 0]'], [8, '[1, 0, 0]']], 'twice is as it was');
  assert.equal(await edit(() => [{ fields: { along: 'bad' } }]), false);
  assert.deepEqual(told, ['no']);
  assert.equal(await edit(() => []), true, 'and the next one goes on');
  revision = undefined;
  assert.equal(await edit(flip), false);
  assert.deepEqual(told, ['no', 'none']);
});
