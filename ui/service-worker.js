// Keeps the page for when the link is out, where the browser allows it (it asks for a
// secure context). What the daemon says comes first; what is kept is only for silence.
// What runs on set is never kept: nothing under /api, no socket.

/** Put in by the daemon: the page that this worker belongs to. */
const VERSION = 'PAGE-VERSION';
const KEPT = `page-${VERSION}`;
/** Longest wait for the daemon before what is kept is shown, ms. */
const PATIENCE_MS = 2500;

/** @type {any} */
const worker = self;

worker.addEventListener('install', (/** @type {any} */ event) => {
  worker.skipWaiting();
  event.waitUntil(fill());
});

worker.addEventListener('activate', (/** @type {any} */ event) => {
  event.waitUntil(clear().then(() => worker.clients.claim()));
});

worker.addEventListener('fetch', (/** @type {any} */ event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin || !ofPage(url)) return;
  event.respondWith(url.pathname.startsWith(`/at/${VERSION}/`) ? keptFirst(request) : daemonFirst(request));
});

/** Whether an address is one of the page's own files. @param {URL} url */
function ofPage(url) {
  return !url.search && (url.pathname === '/' || /\.(?:js|css|svg|png|webmanifest)$/.test(url.pathname)) && !url.pathname.startsWith('/api/');
}

/** Keeps the index and all that it names. */
async function fill() {
  const index = await fetch('/', { cache: 'no-store' });
  if (!index.ok) return; // not paired yet: kept as it is used
  const text = await index.clone().text();
  if (!text.includes(`at/${VERSION}/`)) return; // a newer one has come meanwhile
  const kept = await caches.open(KEPT);
  await kept.put('/', index);
  const names = [...text.matchAll(/(?:src|href)="([^":]+)"/g)].map((m) => `/${m[1]}`);
  await kept.addAll([...new Set(names)]);
}

async function clear() {
  for (const name of await caches.keys()) if (name !== KEPT) await caches.delete(name);
}

/** A file that never changes. @param {Request} request */
async function keptFirst(request) {
  return (await caches.match(request.url)) ?? keep(request, await fetch(request));
}

/** @param {Request} request */
async function daemonFirst(request) {
  const kept = await caches.match(request.url);
  if (!kept) return keep(request, await fetch(request));
  const fresh = fetch(request).then((answer) => keep(request, answer));
  fresh.catch(() => {}); // told below, or too late to matter
  const silence = new Promise((_, fail) => setTimeout(() => fail(new Error('silence')), PATIENCE_MS));
  try {
    return await Promise.race([fresh, silence]);
  } catch {
    return kept;
  }
}

/** @param {Request} request @param {Response} answer */
async function keep(request, answer) {
  if (answer.ok && !answer.redirected) await (await caches.open(KEPT)).put(request.url, answer.clone());
  return answer;
}
