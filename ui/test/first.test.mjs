import assert from 'node:assert/strict';
import { test } from 'node:test';

import { createCaller, socketOf } from '../first.js';

/** A caller on sockets that the test speaks for. */
function calling() {
  /** @type {any[]} */
  const sockets = [];
  const caller = createCaller((url) => {
    const socket = /** @type {any} */ ({ url, send() {}, close() {} });
    sockets.push(socket);
    return socket;
  });
  return { caller, sockets };
}

test('what came ahead is told in order, and what comes later after it', async () => {
  const { caller, sockets } = calling();
  caller.call('ws://set/ws');
  sockets[0].onopen('open');
  sockets[0].onmessage({ data: 1 });
  sockets[0].onmessage({ data: 2 });
  const socket = /** @type {any} */ (caller.open('ws://set/ws'));
  assert.equal(socket, sockets[0]);
  assert.equal(socket.binaryType, 'arraybuffer');
  /** @type {any[]} */
  const heard = [];
  socket.onopen = () => heard.push('open');
  socket.onmessage = (/** @type {any} */ e) => heard.push(e.data);
  await Promise.resolve();
  socket.onmessage({ data: 3 });
  assert.deepEqual(heard, ['open', 1, 2, 3]);
  assert.equal(sockets.length, 1);
});

test('a socket that was closed meanwhile is opened anew, and each is taken once', () => {
  const { caller, sockets } = calling();
  caller.call('ws://set/ws');
  sockets[0].onclose();
  assert.equal(caller.open('ws://set/ws'), sockets[1]);
  assert.equal(caller.open('ws://set/ws'), sockets[2]);
});

test('what was heard of a socket that closed is not told of another', async () => {
  const { caller, sockets } = calling();
  caller.call('ws://set/ws');
  sockets[0].onmessage({ data: 1 });
  sockets[0].onclose();
  const socket = /** @type {any} */ (caller.open('ws://set/ws'));
  socket.onmessage = () => assert.fail('told');
  await Promise.resolve();
});

test('the socket is at the address of the page', () => {
  assert.equal(socketOf(/** @type {any} */ ({ protocol: 'http:', host: '10.0.0.2:4040' })), 'ws://10.0.0.2:4040/ws');
  assert.equal(socketOf(/** @type {any} */ ({ protocol: 'https:', host: 'set' })), 'wss://set/ws');
});

test('whoever waits for the first word waits for it, for a close, or for so long', async () => {
  const said = calling();
  said.caller.call('ws://set/ws');
  let over = false;
  const wait = said.caller.spoken(60_000).then(() => { over = true; });
  said.sockets[0].onopen('open');
  await Promise.resolve();
  assert.equal(over, false);
  for (const data of ['{"type":"role","role":"owner"}', new ArrayBuffer(8)]) said.sockets[0].onmessage({ data });
  await Promise.resolve();
  assert.equal(over, false, 'that is not what is on');
  said.sockets[0].onmessage({ data: '{"type":"state","state":{}}' });
  await wait;

  const closed = calling();
  closed.caller.call('ws://set/ws');
  closed.sockets[0].onclose();
  await closed.caller.spoken(60_000);

  const silent = calling();
  silent.caller.call('ws://set/ws');
  await silent.caller.spoken(1);
});
