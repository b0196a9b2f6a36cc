// A daemon to work on the page without one: serves the files of ui/ under the
// page's content security policy, answers /api and /ws with an invented rig.
//
//   node ui/test/fake-daemon.mjs --port 4050
//
// POST /fake/silence {"on": true} keeps sockets open and says nothing;
// /fake/refuse {"on": true} refuses every verb; /fake/slow {"ms": 400} answers
// late; /fake/live {...} overwrites fields of the state.

import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { FakeSession } from './fake/session.mjs';
import { acceptSocket } from './fake/websocket.mjs';
import { cellsOf } from './fake/rig.mjs';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const CSP = "default-src 'self'; style-src 'self'; script-src 'self'; connect-src 'self' ws: wss:; img-src 'self' data:";
const TYPES = {
  '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml',
  '.webmanifest': 'application/manifest+json', '.txt': 'text/plain',
};
const PUSH_MS = 40;
const HEARTBEAT_MS = 400;

/** Starts a fake daemon on loopback; port 0 takes a free one. */
export async function startFakeDaemon(port = 0) {
  const sockets = new Set();
  const fault = { silence: false, refuse: false, slow: 0 };
  let dirty = true;
  let lastPush = 0;
  const session = new FakeSession(() => {
    dirty = true;
    push();
  });

  function push() {
    if (fault.silence) return;
    const state = JSON.stringify({ type: 'state', state: session.state() });
    const cells = dirty ? cellsFrame(session.plan.revision, session.frames, session.cells()) : null;
    dirty = false;
    lastPush = Date.now();
    for (const s of sockets) {
      s.text(state);
      if (cells) s.binary(cells);
    }
  }

  const timer = setInterval(() => {
    if (session.tick()) dirty = true;
    if (dirty || Date.now() - lastPush >= HEARTBEAT_MS) push();
  }, PUSH_MS);

  const server = createServer((request, response) => {
    answer(request, response, session, fault, push).catch((err) => {
      response.writeHead(500).end(String(err));
    });
  });
  server.on('upgrade', (request, socket) => {
    const s = acceptSocket(request, socket, (text) => {
      if (fault.silence) return;
      const m = JSON.parse(text);
      setTimeout(() => {
        const error = fault.refuse ? { code: 'refused', message: 'the set is hot: the cue sheet is locked', mend: 'end the take first' } : session.verb(m);
        s.text(JSON.stringify(error ? { type: 'answer', id: m.id, error } : { type: 'answer', id: m.id, ok: true }));
      }, fault.slow);
    }, () => sockets.delete(s));
    sockets.add(s);
    dirty = true;
    push();
  });
  await new Promise((done) => server.listen(port, '127.0.0.1', done));
  return {
    url: `http://127.0.0.1:${server.address().port}`,
    session,
    fault,
    close() {
      clearInterval(timer);
      for (const s of sockets) s.close();
      server.close();
    },
  };
}

async function answer(request, response, session, fault, push) {
  const path = new URL(request.url, 'http://x').pathname;
  const json = (value) => response.writeHead(200, { 'Content-Type': 'application/json' }).end(JSON.stringify(value));
  if (path === '/api/state') return json(session.state());
  if (path === '/api/plan') return json(session.plan);
  const look = /^\/api\/looks\/([^/]+)\/cells$/.exec(path);
  if (look) return response.writeHead(200).end(cellsFrame(session.plan.revision, 0, cellsOf(decodeURIComponent(look[1]))));
  if (path.startsWith('/fake/')) return json(await meddle(path.slice(6), request, session, fault, push));
  const file = normalize(path === '/' ? '/index.html' : path);
  const data = await readFile(join(ROOT, file)).catch(() => null);
  if (!data) return response.writeHead(404).end('not found');
  return response
    .writeHead(200, { 'Content-Type': TYPES[extname(file)] ?? 'application/octet-stream', 'Content-Security-Policy': CSP, 'Cache-Control': 'no-store' })
    .end(data);
}

async function meddle(what, request, session, fault, push) {
  const chunks = [];
  for await (const chunk of request) chunks.push(chunk);
  const body = JSON.parse(Buffer.concat(chunks).toString() || '{}');
  if (what === 'live') Object.assign(session.live, body);
  else if (what === 'slow') fault.slow = body.ms;
  else fault[what] = body.on;
  push();
  return { ok: true };
}

function cellsFrame(revision, frame, xyz) {
  const b = Buffer.alloc(16 + xyz.length * 4);
  b.writeUInt8(1, 0);
  b.writeUInt16LE(xyz.length / 3, 2);
  b.writeUInt32LE(revision, 4);
  b.writeBigUInt64LE(BigInt(frame), 8);
  for (let i = 0; i < xyz.length; i++) b.writeFloatLE(xyz[i], 16 + i * 4);
  return b;
}

const at = process.argv.indexOf('--port');
if (at > 0) {
  const { url } = await startFakeDaemon(Number(process.argv[at + 1]));
  console.log(`page: ${url}/`);
}
