// Wires state, link, verbs and page to the browser.

/** @import {Live, LinkState} from './types' */

import { h, render } from './vendor/htm-preact.js';
import { App } from './app.js';
import { keepAwake } from './awake.js';
import { canLearn, createClickerStore, keyName, withKey } from './clicker.js';
import { createEye } from './camera/eye.js';
import { createSupply } from './camera/supply.js';
import { texts } from './texts.js';
import { caller, socketOf } from './first.js';
import { createHold } from './foot/hold.js';
import { keyDown, keyUp } from './keys.js';
import { createBlind } from './light/blind.js';
import { createFeed } from './light/feed.js';
import { Link } from './link.js';
import { createLoader } from './loader.js';
import { createMusic } from './rehearse/music.js';
import { createRehearsal } from './rehearse/rehearsal.js';
import { createScrub } from './rehearse/scrub.js';
import { createTicks } from './rehearse/ticks.js';
import { createWatch } from './meter/watch.js';
import { createRenewal } from './renew.js';
import { whatToSay, whatWasMissed } from './say.js';
import { createStore, emptyState, reached } from './state.js';
import { createStills } from './strip/stills.js';
import { createTheme } from './theme.js';
import { may, placesOf } from './role.js';
import { createVerbs } from './verbs.js';

/** How long "on set" stays on the pad, ms. */
const DONE_MS = 1600;
/** Longest wait for an answer to a plain request, ms. */
const FETCH_MS = 3000;
/** The same for what is computed first: a light map, pictures of looks. */
const FETCH_LARGE_MS = 60_000;
/** Longest wait for the daemon's first word before the page is shown, ms. */
const SPOKEN_MS = 300;
/** A page is not loaded anew for pairing more often than this, ms. */
const PAIRING_MS = 5000;

const clock = {
  setTimer: (/** @type {() => void} */ run, /** @type {number} */ ms) => setTimeout(run, ms),
  clearTimer: (/** @type {any} */ timer) => clearTimeout(timer),
};
const clickerKeys = createClickerStore(() => localStorage);
const theme = createTheme(document, localStorage);
const store = createStore({ ...emptyState(), hand: handFromStorage(), clicker: clickerKeys.load() });
/** @type {import('./light/feed.js').Feed} */
const feed = createFeed();
/** @type {import('./light/feed.js').SeenFeed} */
const seen = createFeed();
/** What somebody looks at that is not on set. @type {import('./light/feed.js').Feed} */
const blindCells = createFeed();
/** @type {import('./light/feed.js').SeenFeed} */
const blindSeen = createFeed();
const shownCells = createBlind(feed, blindCells);
const shownSeen = createBlind(seen, blindSeen);
const fetchPlain = (/** @type {string} */ url) =>
  fetch(url, { cache: 'no-store', signal: AbortSignal.timeout(FETCH_MS) });
/** A light map is a megabyte or two, and is still the same when the page comes back. @param {string} url */
const fetchLarge = (url) => fetch(url, { cache: 'no-cache', signal: AbortSignal.timeout(FETCH_LARGE_MS) });
const eye = createEye({
  canvas: () => document.createElement('canvas'),
  now: () => performance.now(),
  lost: () => {
    store.update({ lit: null });
    const { live } = store.get();
    if (live) void supply.want(live);
  },
});
const supply = createSupply(store, {
  fetch: fetchLarge,
  setTimer: clock.setTimer,
  load: (scene, map) => eye.load(scene, map),
});
const stills = createStills(store, {
  fetch: fetchLarge,
  setTimer: clock.setTimer,
  decode: (picture) => createImageBitmap(picture),
});
const loader = createLoader(store, { fetch: fetchPlain, setTimer: clock.setTimer });

/** Shows what is painted, and not on set. @type {import('./light/blind.js').Look} */
const look = {
  put(cells, shot) {
    if (cells) blindCells.put(cells);
    if (shot) blindSeen.put(shot);
  },
  turn(on) {
    shownCells.turn(on);
    shownSeen.turn(on);
    store.update({ trying: on });
  },
};

const link = new Link(
  {
    url: socketOf(location),
    open: caller.open,
    now: () => performance.now(),
    probe: () => fetchPlain('/api/state').then((r) => r.status, () => 0),
    ...clock,
  },
  {
    onLink,
    onState,
    onRole: (role) => store.update({ role, ...(placesOf(role, [store.get().place]).length ? {} : { place: 'set' }) }),
    onPlan: () => void loader.refresh(),
    onCells: (frame) => feed.put(frame),
    onSeen: (frame) => seen.put(frame),
    onMeter: (report) => store.update({ meter: store.get().panel === 'meter' ? report : null }),
  },
);

/** Asks for what this device may ask for. @param {import('./types').Command} command @returns {Promise<import('./types').Outcome>} */
async function send(command) {
  const { role } = store.get();
  if (may(role, command.verb)) return link.send(command);
  return { ok: false, sent: false, refusal: { code: 'not-yours', message: texts.role.notYours(role), mend: texts.role.notYoursMend } };
}

createWatch(store, send).start();

const verbs = createVerbs(store, {
  send,
  frame: (run) => void requestAnimationFrame(run),
  buzz,
  countIn: () => rehearsal.countIn(),
  ...clock,
});

const renewal = createRenewal({
  own: import.meta.url, fetch: fetchPlain, reload: () => location.reload(), keep: sessionStorage,
});

const ticks = createTicks();
const scrub = createScrub({
  fetch: fetchPlain,
  frame: (run) => void requestAnimationFrame(run),
  cells: (f) => blindCells.put(f),
  seen: (f) => blindSeen.put(f),
  failed: () => rehearsal.live(), // better the set than a picture of another time
});
const rehearsal = createRehearsal(store, {
  ...clock,
  now: () => performance.now(),
  fetch: fetchPlain,
  send,
  act: verbs.act,
  look: scrub.look,
  blind(on) {
    shownCells.turn(on);
    shownSeen.turn(on);
  },
  wake: ticks.wake,
  tick(last) {
    ticks.tick(last);
    buzz([last ? 45 : 20]);
  },
  music: (file) => createMusic(file, `${store.get().live?.show}/${store.get().live?.location}`, {
    now: () => performance.now(), ended: () => rehearsal.stop(), keep: localStorage,
  }),
});

const hold = createHold(
  {
    begin: () => store.update({ holding: true }),
    stop: () => store.update({ holding: false }),
    done: () => {
      store.update({ holding: false });
      verbs.kill();
    },
  },
  clock,
);
const kill = {
  press: () => (store.get().live?.killed ? verbs.unkill() : hold.press()),
  release: () => hold.release(),
};

/** When the link went, until what happened meanwhile is told; on a clock that nobody turns. @type {number | null} */
let lostAt = null;

/** @param {LinkState} now */
function onLink(now) {
  const before = store.get().link.phase;
  store.update({ link: now });
  if (now.phase === 'pairing') pair();
  if (now.phase === before) return;
  if (now.phase === 'lost') lostAt ??= performance.now();
  if (now.phase === 'lost') store.update({ said: texts.said.lost, sent: null, ride: null, done: null });
  if (now.phase === 'up') {
    void renewal.check();
    loader.refresh(); // the daemon may have been started anew with another show
  }
}

/** @type {any} */
let doneTimer = null;

/** @param {Live} live */
function onState(live) {
  const before = store.get().live;
  const said = lostAt === null ? whatToSay(before, live) : whatWasMissed(before, live, performance.now() - lostAt);
  lostAt = null;
  const done = reached(before, live);
  store.update({ live, ...(said ? { said } : {}) });
  theme.hot(Boolean(live.hot));
  loader.want(live.revision);
  supply.want(live);
  stills.want(live);
  rehearsal.heard(before, live);
  if (live.fade) store.update({ done: null });
  if (done === null) return;
  store.update({ done });
  buzz([25, 40, 25]);
  clearTimeout(doneTimer);
  doneTimer = setTimeout(() => store.update({ done: null }), DONE_MS);
}

/** Vibrates where the device can; browsers complain of it before the first touch. @param {number[]} pattern */
function buzz(pattern) {
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(pattern);
}

/** The daemon asks who this is: its own page does the asking. */
function pair() {
  const last = Number(sessionStorage.getItem('paired-at') ?? 0);
  if (Math.abs(Date.now() - last) < PAIRING_MS) return; // the clock may have been turned
  sessionStorage.setItem('paired-at', String(Date.now()));
  location.reload();
}

/** @returns {'left' | 'right'} */
function handFromStorage() {
  try {
    return localStorage.getItem('hand') === 'right' ? 'right' : 'left';
  } catch {
    return 'left'; // storage is off: the choice lasts as long as the page
  }
}

/** @param {'left' | 'right'} side */
function hand(side) {
  store.update({ hand: side });
  try {
    localStorage.setItem('hand', side);
  } catch {
    // as above
  }
}

/** @param {import('./types').ClickerAction} action @param {string} key "" forgets it */
function teach(action, key) {
  const clicker = withKey(store.get().clicker, action, key);
  clickerKeys.save(clicker);
  store.update({ clicker, learning: null, said: key ? texts.clicker.learnt(texts.clicker.names[key] ?? key, texts.clicker.action[action]) : '' });
}

/** The next key is learnt, where one is asked for. @param {KeyboardEvent} e */
function learnKey(e) {
  const { learning } = store.get();
  if (!learning || e.key === 'Escape' || e.key === 'Tab') {
    store.update({ learning: null });
    return Boolean(learning && e.key === 'Escape');
  }
  if (canLearn(e)) teach(learning, keyName(e));
  else if (e.key.length > 1 && !['Shift', 'Control', 'Alt', 'Meta'].includes(e.key)) store.update({ said: texts.clicker.notThat });
  e.preventDefault();
  return true;
}

/** Whoever writes means letters, not verbs. @param {KeyboardEvent} e */
function writes(e) {
  return e.target instanceof Element && Boolean(e.target.closest('input:not([type="radio"]):not([type="file"]), textarea, select'));
}

/** A control reached by keyboard keeps the keys that work it. @param {KeyboardEvent} e */
function ownsKey(e) {
  const on = e.target instanceof Element ? e.target.closest('button, [role="slider"]') : null;
  return Boolean(on && !on.matches('.pad') && (e.key === ' ' || e.key === 'Enter'));
}

addEventListener('keydown', (e) => {
  if (store.get().learning && learnKey(e)) return;
  if (e.key === 'Escape' && store.get().panel === 'rehearse') rehearsal.close();
  else if (e.key === 'Escape' && store.get().panel) store.update({ panel: null });
  else if (e.defaultPrevented || ownsKey(e) || writes(e)) return;
  else if (verbs.as('key', () => keyDown(e, store, verbs, kill))) e.preventDefault();
});
addEventListener('keyup', (e) => {
  keyUp(e, kill);
  if (e.key === ' ' && !ownsKey(e)) e.preventDefault(); // some browsers click a focused pad only now
});
addEventListener('blur', () => kill.release());
addEventListener('online', () => link.hurry());
document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && link.hurry());

await caller.spoken(SPOKEN_MS); // shown at once, and not an empty page before it
link.start();
await Promise.resolve(); // until that is told
document.title = texts.title;
render(h(App, { store, verbs, kill, feed: shownCells, seen: shownSeen, eye, rehearsal, look, hand, theme, teach }), /** @type {HTMLElement} */ (document.getElementById('page')));
keepAwake(document);
if (isSecureContext) navigator.serviceWorker?.register('/service-worker.js').catch(() => {}); // the page works without
