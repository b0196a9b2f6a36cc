// Choosing cells on the plan: a tap takes the nearest cell or lets it go, a
// drag takes all in its way. Chosen cells are ringed.
// Use: `<${Chooser} plan=${plan} feed=${feed} chosen=${[0, 1]} choose=${fn} />`.

/** @import {Plan} from '../types' */
/** @import {Feed} from '../light/feed.js' */

import { html, useEffect, useRef } from '../vendor/htm-preact.js';
import { boxOf, cellsOnPlan, viewOf } from '../light/box.js';
import { PlanPicture } from '../picture/plan.js';
import { texts } from '../texts.js';

/** How near a finger must come to a cell, px. */
const NEAR_PX = 26;
/** From here on a move is a drag, px. */
const DRAG_PX = 10;

/** @typedef {{cell: number, x: number, y: number}} Spot px */

/**
 * @param {{plan: Plan, feed: Feed, chosen: number[], choose: (cells: number[]) => void}} props
 */
export function Chooser({ plan, feed, chosen, choose }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const spots = useRef(/** @type {Spot[]} */ ([]));
  const drag = useRef(/** @type {{x: number, y: number, to: [number, number] | null} | null} */ (null));
  const now = useRef(chosen);
  now.current = chosen;

  function draw() {
    const on = canvas.current;
    if (on) ring(on, spots.current, now.current, drag.current);
  }

  useEffect(() => {
    const on = /** @type {HTMLCanvasElement} */ (canvas.current);
    const sizes = new ResizeObserver(([entry]) => {
      const { width, height } = entry.contentRect;
      if (width < 8 || height < 8) return;
      const dpr = Math.min(3, devicePixelRatio || 1);
      on.width = Math.round(width * dpr);
      on.height = Math.round(height * dpr);
      spots.current = spotsOf(plan, width, height);
      draw();
    });
    sizes.observe(on);
    return () => sizes.disconnect();
  }, [plan]);
  useEffect(draw, [chosen, plan]);

  /** @param {PointerEvent} e @returns {[number, number]} */
  function at(e) {
    const r = /** @type {HTMLElement} */ (e.currentTarget).getBoundingClientRect();
    return [e.clientX - r.x, e.clientY - r.y];
  }

  /** @param {PointerEvent} e */
  function down(e) {
    if (e.button !== 0) return;
    const [x, y] = at(e);
    drag.current = { x, y, to: null };
    /** @type {HTMLElement} */ (e.currentTarget).setPointerCapture(e.pointerId);
  }

  /** @param {PointerEvent} e */
  function move(e) {
    const d = drag.current;
    if (!d) return;
    const [x, y] = at(e);
    if (d.to || Math.hypot(x - d.x, y - d.y) > DRAG_PX) d.to = [x, y];
    draw();
  }

  function up() {
    const d = drag.current;
    drag.current = null;
    if (!d) return;
    choose(d.to ? withAll(now.current, within(spots.current, d)) : toggled(now.current, nearest(spots.current, d)));
    draw();
  }

  return html`
    <div class="chooser" data-test="chooser">
      <${PlanPicture} plan=${plan} feed=${feed} label=${texts.paint.plan} />
      <canvas
        class="chooser-rings" ref=${canvas} role="img" aria-label=${texts.paint.chosen(chosen.length)}
        onPointerDown=${down} onPointerMove=${move} onPointerUp=${up} onPointerCancel=${() => { drag.current = null; draw(); }}
      ></canvas>
    </div>
  `;
}

/** Where every cell is on the picture. @param {Plan} plan @param {number} width @param {number} height @returns {Spot[]} */
function spotsOf(plan, width, height) {
  const box = boxOf(plan, width / height);
  const view = viewOf(box, width);
  return (plan.lamps ?? []).flatMap((lamp) =>
    cellsOnPlan(lamp, lamp.cells ?? [], box).places.map((p, i) => {
      const [x, y] = view.at(p);
      return { cell: lamp.first_cell + i, x, y };
    }));
}

/** @param {Spot[]} spots @param {{x: number, y: number}} p */
function nearest(spots, p) {
  let best = -1;
  let least = NEAR_PX;
  for (const s of spots) {
    const d = Math.hypot(s.x - p.x, s.y - p.y);
    if (d < least) [least, best] = [d, s.cell];
  }
  return best;
}

/** @param {Spot[]} spots @param {{x: number, y: number, to: [number, number] | null}} d */
function within(spots, d) {
  const [x, y] = d.to ?? [d.x, d.y];
  return spots
    .filter((s) => s.x >= Math.min(x, d.x) && s.x <= Math.max(x, d.x) && s.y >= Math.min(y, d.y) && s.y <= Math.max(y, d.y))
    .map((s) => s.cell);
}

/** @param {number[]} chosen @param {number} cell -1 for none, which chooses nothing */
function toggled(chosen, cell) {
  if (cell < 0) return [];
  return chosen.includes(cell) ? chosen.filter((c) => c !== cell) : [...chosen, cell];
}

/** @param {number[]} chosen @param {number[]} more */
function withAll(chosen, more) {
  return [...chosen, ...more.filter((c) => !chosen.includes(c))];
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {Spot[]} spots
 * @param {number[]} chosen
 * @param {{x: number, y: number, to: [number, number] | null} | null} drag
 */
function ring(canvas, spots, chosen, drag) {
  const g = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  const scale = canvas.width / Math.max(1, canvas.clientWidth);
  const line = getComputedStyle(canvas).getPropertyValue('--accent') || '#ffb14a';
  g.setTransform(scale, 0, 0, scale, 0, 0);
  g.clearRect(0, 0, canvas.width, canvas.height);
  const is = new Set(chosen);
  // One outline round cells that touch, with their light left to be seen.
  for (const [radius, mode] of /** @type {const} */ ([[6.5, 'source-over'], [4.9, 'destination-out']])) {
    g.globalCompositeOperation = mode;
    g.fillStyle = line;
    for (const s of spots) {
      if (!is.has(s.cell)) continue;
      g.beginPath();
      g.arc(s.x, s.y, radius, 0, 2 * Math.PI);
      g.fill();
    }
  }
  g.globalCompositeOperation = 'source-over';
  g.lineWidth = 1.6;
  g.strokeStyle = line;
  if (drag?.to) {
    g.setLineDash([5, 4]);
    g.strokeRect(drag.x, drag.y, drag.to[0] - drag.x, drag.to[1] - drag.y);
    g.setLineDash([]);
  }
}
