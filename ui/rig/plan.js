// The plan of the rig: a tap chooses a lamp; the chosen one is ringed, moves by a
// drag and turns by its handle. What cannot be seen from above is in its numbers.
// Use: `<${RigPlan} plan=${plan} feed=${feed} chosen="lane-1" choose=${fn} stand=${fn} marks=${{}} fixed=${false} />`.

/** @import {Plan, PlanLamp, Point} from '../types' */
/** @import {Shown} from '../light/feed.js' */

import { html, useEffect, useLayoutEffect, useMemo, useRef, useState } from '../vendor/htm-preact.js';
import { boxOf, viewOf } from '../light/box.js';
import { PlanPicture } from '../picture/plan.js';
import { texts } from '../texts.js';
import { nameSpots, nearestLamp, outlineOf } from './outline.js';
import { onStep, turnOf, turnStep, turned } from './stand.js';

/** From here on a press is a drag, px. */
const DRAG_PX = 8;
/** How near a finger must come to the handle, px. */
const GRIP_PX = 26;

/** @typedef {{x: number, y: number, mode: 'move' | 'turn' | 'tap', lamp: PlanLamp | null, moves: boolean}} Press */

/**
 * @param {object} props
 * @param {Plan} props.plan
 * @param {Shown} props.feed
 * @param {string} props.chosen id of a lamp; "" for none
 * @param {(id: string) => void} props.choose
 * @param {(lamp: PlanLamp) => Promise<boolean>} props.stand a lamp as it is to stand; false when that was refused
 * @param {Record<string, string>} props.marks a sign for lamps by their ids
 * @param {boolean} props.fixed nothing may be moved now
 */
export function RigPlan({ plan, feed, chosen, choose, stand, marks, fixed }) {
  const room = useRef(/** @type {Element | null} */ (null));
  const [size, setSize] = useState({ w: 0, h: 0 });
  const [draft, setDraft] = useState(/** @type {PlanLamp | null} */ (null));
  const press = useRef(/** @type {Press | null} */ (null));
  useEffect(() => {
    const on = /** @type {Element} */ (room.current);
    const sizes = new ResizeObserver(([{ contentRect: r }]) => setSize({ w: r.width, h: r.height }));
    sizes.observe(on);
    return () => sizes.disconnect();
  }, []);
  useLayoutEffect(() => setDraft(null), [plan]);

  const lamps = plan.lamps ?? [];
  const box = useMemo(() => boxOf(plan, size.h > 0 ? size.w / size.h : 1), [plan, size]);
  const view = useMemo(() => viewOf(box, Math.max(1, size.w)), [box, size]);
  const outlines = useMemo(() => lamps.map((l) => outlineOf(l, box, view)), [plan, view]);
  const names = useMemo(() => nameSpots(outlines, chosen, { ...size, scale: view.scale }), [outlines, chosen, size]);
  const lamp = draft ?? lamps.find((l) => l.id === chosen) ?? null;
  const ring = lamp && outlineOf(lamp, box, view);

  /** @param {PointerEvent} e @returns {[number, number]} */
  function at(e) {
    const r = /** @type {Element} */ (e.currentTarget).getBoundingClientRect();
    return [e.clientX - r.x, e.clientY - r.y];
  }

  /** @param {PointerEvent} e */
  function down(e) {
    if (e.button !== 0) return;
    const [x, y] = at(e);
    const near = nearestLamp(outlines, x, y);
    /** @type {Press['mode']} */
    let mode = 'tap';
    if (!fixed && ring?.handle && Math.hypot(ring.handle[0] - x, ring.handle[1] - y) < GRIP_PX) mode = 'turn';
    else if (!fixed && lamp && near === lamp.id) mode = 'move';
    press.current = { x, y, mode, lamp: mode === 'tap' ? null : lamp, moves: false };
    /** @type {Element} */ (e.currentTarget).setPointerCapture(e.pointerId);
  }

  /** @param {PointerEvent} e */
  function move(e) {
    const p = press.current;
    if (!p?.lamp) return;
    const [x, y] = at(e);
    if (!p.moves && Math.hypot(x - p.x, y - p.y) < DRAG_PX) return;
    p.moves = true;
    if (p.mode === 'move') {
      const place = /** @type {Point} */ ([
        onStep(p.lamp.place[0] + (x - p.x) / view.scale), onStep(p.lamp.place[1] - (y - p.y) / view.scale), p.lamp.place[2],
      ]);
      setDraft({ ...p.lamp, place });
    } else {
      const [cx, cy] = view.at(p.lamp.place);
      setDraft(turned(p.lamp, turnStep(x - cx, cy - y)));
    }
  }

  /** @param {PointerEvent} e */
  async function up(e) {
    const p = press.current;
    press.current = null;
    if (!p) return;
    if (!p.moves) {
      const id = nearestLamp(outlines, ...at(e));
      if (p.mode !== 'turn') choose(id === chosen && p.mode === 'tap' ? '' : id);
      return;
    }
    if (draft && !(await stand(draft))) setDraft(null);
  }

  function cancel() {
    press.current = null;
    setDraft(null);
  }

  return html`
    <div class="rig-plan" data-test="rig-plan" ref=${room}>
      <${PlanPicture} plan=${plan} feed=${feed} label=${texts.rig.plan(plan.location)} />
      <svg class="rig-over" role="img" aria-label=${lamp ? texts.rig.chosen(lamp.id) : texts.rig.noneChosen} data-test="rig-over"
        onPointerDown=${down} onPointerMove=${move} onPointerUp=${up} onPointerCancel=${cancel}>
        ${names.map((n) => html`<text class="rig-name" x=${n.x} y=${n.y} text-anchor=${n.anchor}>${n.text}</text>`)}
        ${outlines.map((o) => marks[o.id] && html`<text class="rig-mark" x=${o.middle[0]} y=${o.middle[1] + 5} text-anchor="middle">${marks[o.id]}</text>`)}
        ${ring && html`
          <g class=${draft ? 'rig-ring rig-draft' : 'rig-ring'} data-test="rig-ring" data-lamp=${ring.id}>
            <rect x=${-ring.long / 2} y=${-ring.wide / 2} width=${ring.long} height=${ring.wide} rx=${ring.wide / 2}
              transform=${`translate(${ring.middle[0]} ${ring.middle[1]}) rotate(${ring.angle})`} />
            ${ring.first && html`<text class="rig-first" x=${ring.first[0]} y=${ring.first[1] + 4} text-anchor="middle">1</text>`}
            ${ring.handle && !fixed && html`
              <line x1=${ring.middle[0]} y1=${ring.middle[1]} x2=${ring.handle[0]} y2=${ring.handle[1]} />
              <circle class="rig-handle" data-test="rig-handle" cx=${ring.handle[0]} cy=${ring.handle[1]} r="10" />
            `}
          </g>
        `}
      </svg>
      ${draft && html`<p class="rig-at" data-test="rig-at">${texts.rig.standsAt(draft.place, turnOf(draft)?.degrees ?? null)}</p>`}
    </div>
  `;
}

