// The cue sheet as a strip of small pictures in shooting order. The cue on
// set is framed, the one standing by is notched toward the pad; a tap makes
// one stand by. Looks that no cue uses come last.
// Use: `<${Strip} state=${state} standby=${fn} />`.

/** @import {PageState, Plan, PlanLook, XYZ} from '../types' */

import { html, useEffect, useMemo, useRef } from '../vendor/htm-preact.js';
import { draw } from '../light/drawing.js';
import { cssColour, displayMatrix, swatch } from '../light/display.js';
import { cueOnSet } from '../state.js';
import { time, words } from '../format.js';
import { texts } from '../texts.js';

/** Size of a small picture, css px, and how bright it may get, linear light. */
const WIDTH = 104;
const HEIGHT = 64;
const MOST = 0.5;
/** The same of what a screen is sent: sRGB raises it to about 1/2.2. */
const SHADE = 1 - MOST ** (1 / 2.2);

/** @param {{state: PageState, standby: ((target: {cue: number, look: string}) => void) | null}} props standby is null for who runs no cues */
export function Strip({ state, standby }) {
  const { plan, live, looks, stills } = state;
  const paint = useMemo(() => (plan ? painter(plan) : null), [plan]);
  const row = useRef(/** @type {HTMLElement | null} */ (null));
  const entries = plan ? entriesOf(plan) : [];
  const onSet = cueOnSet(live, plan);
  const next = live?.standby;
  const ready = next && (entries.find((e) => e.look === next.look && e.cue === (next.cue || 0)) ?? entries.find((e) => e.look === next.look));
  useEffect(() => showStandby(row.current), [next?.cue, next?.look, plan]);

  if (plan && entries.length === 0) return html`<nav class="strip strip-empty" aria-label=${texts.strip.label}>${texts.strip.empty}</nav>`;
  return html`
    <nav class="strip" ref=${row} aria-label=${texts.strip.label} data-test="strip">
      ${entries.map((entry) => html`
        <${Item}
          key=${entry.key}
          entry=${entry}
          plan=${plan}
          paint=${paint}
          light=${looks[entry.look]}
          still=${stills[entry.look]}
          onSet=${entry.cue ? entry.cue === onSet : !onSet && entry.look === live?.look}
          standby=${entry === ready}
          choose=${standby}
        />
      `)}
    </nav>
  `;
}

/**
 * @typedef {object} Entry
 * @property {string} key
 * @property {number} cue 0 for a look that no cue uses
 * @property {string} look
 * @property {number} fadeMs
 * @property {number} first 1 when it is the first entry of its look
 */

/** @param {Plan} plan @returns {Entry[]} */
function entriesOf(plan) {
  const seen = new Set();
  /** @param {number} cue @param {string} look @param {number} fadeMs @returns {Entry} */
  const entry = (cue, look, fadeMs) => {
    const first = seen.has(look) ? 0 : 1;
    seen.add(look);
    return { key: `${cue}/${look}`, cue, look, fadeMs, first };
  };
  const cues = (plan.cues ?? []).map((c) => entry(c.cue, c.look, c.fade_ms));
  const rest = (plan.looks ?? []).filter((l) => !seen.has(l.name)).map((l) => entry(0, l.name, 0));
  return [...cues, ...rest];
}

/**
 * @param {{entry: Entry, plan: Plan, paint: Painter, light: Float32Array | undefined, still: ImageBitmap | undefined, onSet: boolean, standby: boolean,
 *   choose: ((target: {cue: number, look: string}) => void) | null}} props
 */
function Item({ entry, plan, paint, light, still, onSet, standby, choose }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const look = plan.looks?.find((l) => l.name === entry.look);
  useEffect(() => {
    if (!canvas.current) return;
    if (still) hang(canvas.current, still);
    else if (light) paint(canvas.current, light);
    canvas.current.dataset.drawn = still ? 'daemon' : light ? 'plan' : '';
  }, [light, paint, still]);
  const label = texts.strip.item({ ...entry, onSet, standby, time: entry.cue ? time(entry.fadeMs) : '' });
  return html`
    <button
      class="cue"
      onClick=${() => choose?.(entry)}
      aria-disabled=${choose ? undefined : 'true'}
      aria-label=${label}
      aria-current=${onSet ? 'true' : undefined}
      aria-pressed=${String(standby)}
      data-test=${entry.first ? `strip-${entry.look}` : `strip-${entry.look}-${entry.cue}`}
      data-cue=${entry.cue || undefined}
      data-onset=${String(onSet)}
      data-standby=${String(standby)}
    >
      <canvas class="cue-picture" ref=${canvas} width=${WIDTH} height=${HEIGHT} aria-hidden="true"></canvas>
      <${Bars} look=${look} plan=${plan} />
      <span class="cue-name"><span class="cue-number">${entry.cue || ''}</span>${' '}${words(entry.look)}</span>
    </button>
  `;
}

/** The two colours of the character that the look wears. @param {{look: PlanLook | undefined, plan: Plan}} props */
function Bars({ look, plan }) {
  const m = displayMatrix(plan.balance);
  /** @param {XYZ | null | undefined} xyz */
  const bar = (xyz) => html`<i style=${{ background: xyz ? cssColour(swatch(m, xyz)) : 'transparent' }}></i>`;
  return html`<span class="cue-bars" aria-hidden="true">${bar(look?.lead)}${bar(look?.second)}</span>`;
}

/** Shows what the daemon has drawn. @param {HTMLCanvasElement} canvas @param {ImageBitmap} still */
function hang(canvas, still) {
  Object.assign(canvas, { width: still.width, height: still.height });
  const context = canvas.getContext('2d');
  if (!context) return;
  context.drawImage(still, 0, 0);
  context.fillStyle = `rgb(0 0 0 / ${SHADE})`;
  context.fillRect(0, 0, still.width, still.height);
}

/** @typedef {(canvas: HTMLCanvasElement, light: Float32Array) => void} Painter light of every cell */

/** One drawing serves all small pictures. @param {Plan} plan @returns {Painter} */
function painter(plan) {
  const dpr = Math.min(3, devicePixelRatio || 1);
  const own = document.createElement('canvas');
  /** Made when a look has no still: with them nobody needs it. @type {import('../light/drawing.js').Drawing | null} */
  let drawing = null;
  return (canvas, xyz) => {
    drawing ??= draw(own, plan, { width: WIDTH, height: HEIGHT, dpr, small: true, most: MOST });
    drawing.light(xyz);
    canvas.width = own.width;
    canvas.height = own.height;
    canvas.getContext('2d')?.drawImage(own, 0, 0);
  };
}

/** Brings the stand-by into view without moving the page. @param {HTMLElement | null} row */
function showStandby(row) {
  const item = /** @type {HTMLElement | null} */ (row?.querySelector('[data-standby="true"]') ?? null);
  if (!row || !item) return;
  const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
  row.scrollTo({ left: item.offsetLeft - (row.clientWidth - item.offsetWidth) / 2, behavior: still ? 'auto' : 'smooth' });
}
