import assert from 'node:assert/strict';
import test from 'node:test';
import { changes, clipping, figures, luxText, shutterTime, together, tStop } from '../meter/words.js';
import { createWatch } from '../meter/watch.js';
import { createStore } from '../state.js';
import { turn } from './fake/clock.mjs';
import { page } from './fake/live.mjs';

// Whole stops are powers of the root of two, named as engraved on lenses (ISO 517);
// a meter in the hand shows tenths over the whole one.
test('a stop reads as a whole one and tenths', () => {
  for (const [stop, whole, tenths] of [
    [1, '1', 0], [Math.SQRT2, '1.4', 0], [2, '2', 0], [2.8284, '2.8', 0], [8, '8', 0], [22.63, '22', 0],
    [2 * 2 ** (0.3 / 2), '2', 3], [2 * 2 ** (0.97 / 2), '2.8', 0], [4 * 2 ** (0.94 / 2), '4', 9], [0.75, '0.7', 2], [0.5, '', 0], [0, '', 0], [1e6, '', 0],
  ]) assert.deepEqual(tStop(stop), { whole, tenths }, `T${stop}`);
});

test('lux in full, and foot-candles where people count in feet', () => {
  for (const [v, n, want] of [[1460.4, 3, '1460'], [46.18, 3, '46.2'], [0.578, 2, '0.58'], [9.996, 3, '10.0'], [0, 3, '0'], [120000, 3, '120000']]) {
    assert.equal(figures(v, n), want);
  }
  assert.equal(luxText(960, 'en-GB'), '960 lx');
  assert.equal(luxText(107.639, 'en-US'), '108 lx, 10.0 fc'); // NIST SP 811: 1 fc is 10.76391 lx
  assert.equal(shutterTime(180, 24), '1/48 s');
  assert.equal(shutterTime(172.8, 24), '1/50 s'); // the safe angle at 50 Hz mains
  assert.equal(shutterTime(360, 2), '0.50 s');
});

test('what a set-up changes, in a line', () => {
  const none = { name: 'a', camera: [0, 0, 0], look_at: [0, 0, 0], fps: 24, trims: [], swaps: [], mirrors: [] };
  assert.equal(changes(none, 4), '');
  assert.equal(
    changes({ ...none, trims: [{ group: 'key', stops: -1.6 }, { group: 'far-edge', stops: 0.5 }], swaps: [['edge', 'back']], mirrors: ['lanes'] }, 4),
    'key −1.6 stops; far edge +0.5 stops; edge and back change places; lanes mirrored',
  );
  assert.equal(changes({ ...none, mirrors: ['a', 'b'] }, 2), 'order mirrored');
});

test('lamps that go white stand together, the worst first', () => {
  const lamp = (id, over, hottest = 'red') => ({ id, cell: 1, stops_over_grey: over, hottest, clips: over >= 6, keep_colour_level: 2 ** (6 - over) });
  const report = { camera: { stops_over_grey_to_clip: 6 }, lamps: [lamp('wall-1', 8), lamp('moon', 3), lamp('wall-2', 8.01), lamp('kick-left', 9.5), lamp('wall-3', 8, 'blue')] };
  assert.deepEqual(clipping(report).map((c) => [c.names, c.by.toFixed(1), c.hottest]), [
    ['kick left', '3.5', 'red'], ['wall 1, 2', '2.0', 'red'], ['wall 3', '2.0', 'blue'],
  ]);
  assert.ok(Math.abs(clipping(report)[1].keep - 2 ** -2.01) < 1e-9, 'of all of them the least');
  assert.equal(together(['lane-1', 'moon', 'lane-10', 'K1']), 'lane 1, 10; moon; K1');
});

test('readings are asked for while somebody looks, and anew on a new link', async () => {
  const sent = [];
  const store = createStore(page());
  createWatch(store, async (command) => { sent.push(command); return { ok: true, ms: 1 }; }).start();
  const link = (phase) => store.update({ link: { phase, ms: null } });
  link('up');
  await turn();
  assert.deepEqual(sent, []);
  store.update({ panel: 'meter' });
  await turn();
  store.update({ said: 'something else' });
  await turn();
  assert.deepEqual(sent.splice(0), [{ verb: 'watch', meter: true }]);
  link('lost');
  await turn();
  assert.deepEqual(sent, [], 'nothing is kept for later');
  link('up');
  await turn();
  assert.deepEqual(sent.splice(0), [{ verb: 'watch', meter: true }]);
  store.update({ panel: null, meter: { marks: [] } });
  await turn();
  assert.deepEqual(sent, [{ verb: 'watch', meter: false }]);
  await turn();
  assert.equal(store.get().meter, null);
});
