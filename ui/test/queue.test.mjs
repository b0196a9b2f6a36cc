import assert from 'node:assert/strict';
import test from 'node:test';
import { createQueue } from '../strip/queue.js';

const turn = () => new Promise((resolve) => setImmediate(resolve));

test('small pictures wait for idle time, one at a time, the newest of each place', async () => {
  const idle = [];
  const queue = createQueue((run) => idle.push(run));
  const done = [];
  let finish = () => {};
  const slow = () => new Promise((resolve) => (finish = resolve)).then(() => done.push('slow'));
  queue.put('a', slow);
  queue.put('b', () => done.push('b, old'));
  queue.put('b', () => done.push('b'));
  queue.put('c', () => { throw new Error('the place is gone'); });
  queue.put('d', () => done.push('d'));
  assert.equal(idle.length, 1);
  idle.shift()();
  await turn();
  assert.equal(idle.length, 0, 'the next waits for the first');
  finish();
  await turn();
  assert.deepEqual(done, ['slow']);
  while (idle.length) {
    idle.shift()();
    await turn();
  }
  assert.deepEqual(done, ['slow', 'b', 'd']);
});
