// The server's side of a websocket, as much of RFC 6455 as a page uses: text
// in, text and binary out, no fragments, no extensions.

import { createHash } from 'node:crypto';

const MAGIC = '258EAFA5-E914-47DA-95CA-C5AB0DC85B11'; // RFC 6455, 1.3

/** Answers the handshake and hands each text message to `onText`. */
export function acceptSocket(request, socket, onText, onClose) {
  const key = createHash('sha1').update(request.headers['sec-websocket-key'] + MAGIC).digest('base64');
  socket.write(
    `HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Accept: ${key}\r\n\r\n`,
  );
  let buffer = Buffer.alloc(0);
  socket.on('data', (data) => {
    buffer = Buffer.concat([buffer, data]);
    for (;;) {
      const message = takeMessage(buffer);
      if (!message) return;
      buffer = buffer.subarray(message.size);
      if (message.opcode === 8) socket.end();
      else if (message.opcode === 1) onText(message.payload.toString('utf8'));
    }
  });
  socket.on('close', onClose);
  socket.on('error', onClose);
  return {
    text: (s) => socket.write(frame(1, Buffer.from(s))),
    binary: (b) => socket.write(frame(2, b)),
    close: () => socket.destroy(),
  };
}

function takeMessage(b) {
  if (b.length < 2) return null;
  let size = b[1] & 0x7f;
  let at = 2;
  if (size === 126) {
    if (b.length < 4) return null;
    size = b.readUInt16BE(2);
    at = 4;
  } else if (size === 127) {
    if (b.length < 10) return null;
    size = Number(b.readBigUInt64BE(2));
    at = 10;
  }
  const masked = (b[1] & 0x80) !== 0;
  const from = at + (masked ? 4 : 0);
  if (b.length < from + size) return null;
  const payload = Buffer.from(b.subarray(from, from + size));
  if (masked) for (let i = 0; i < size; i++) payload[i] ^= b[at + (i & 3)];
  return { opcode: b[0] & 0x0f, payload, size: from + size };
}

function frame(opcode, payload) {
  const n = payload.length;
  const head = n < 126 ? Buffer.from([0x80 | opcode, n]) : Buffer.from([0x80 | opcode, 126, n >> 8, n & 255]);
  return Buffer.concat([head, payload]);
}
