// The set as a set-up's camera sees it, by the bytes on the wire. A tap on the
// picture reads the stops over or under grey there, and goes on reading.
// Use: `<${Shot} lit=${lit} camera=${camera} feed=${feed} setup=${0} style=${style} label=${words} over=${html} />`.

/** @import {Lit} from '../types' */
/** @import {ShownSeen} from '../light/feed.js' */
/** @import {Camera, Style} from '../camera/style.js' */

import { html, useEffect, useRef, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { createPace } from '../camera/pace.js';
import { keepDrawn } from './draw.js';

/** Most pixels across: more costs a phone its frames and shows nothing. */
const WIDEST = 1280;
/** How soon a picture that has come to rest is drawn at its best, ms. */
const REST_MS = 200;

/**
 * @param {{lit: Lit, camera: Camera, feed: ShownSeen, setup: number, style: Style, label: string, over?: any}} props
 */
export function Shot({ lit, camera, feed, setup, style, label, over }) {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const [spot, setSpot] = useState(/** @type {{x: number, y: number} | null} */ (null));
  const [stops, setStops] = useState(/** @type {number | null} */ (null));
  const now = useRef({ setup, style, spot });
  now.current = { setup, style, spot };
  const ask = useRef(() => {});

  useEffect(() => {
    const on = /** @type {HTMLElement} */ (box.current);
    on.prepend(camera.canvas);
    const dark = new Float32Array(0);
    const pace = createPace(camera.levels);
    let full = 0;
    let last = -1;
    /** Pictures that are not drawn yet. */
    let open = 0;
    let over = false;
    /** @type {any} */
    let rest = null;
    function show(how = pace.best) {
      const across = Math.round(full * how.share);
      if (!across) return;
      camera.resize(across, Math.round(across / lit.scene.aspect));
      const frame = feed.get();
      const { setup, style, spot } = now.current;
      const drawn = camera.draw(setup, frame?.revision === lit.revision ? frame.rgb : dark, style, how);
      if (spot) void read(spot);
      on.dataset.drawing = String(++open > 0);
      void Promise.resolve(drawn).then(() => (on.dataset.drawing = String(--open > 0)));
      return drawn;
    }
    /** @param {{x: number, y: number}} at */
    async function read(at) {
      const stops = await camera.read(at.x, at.y);
      if (now.current.spot === at) setStops(Math.round(stops * 10) / 10);
    }
    /** Draws a frame of new light, and takes the time of those that are seen. */
    async function flow() {
      const frame = feed.get()?.frame ?? -1;
      clearTimeout(rest);
      if (frame === last) return void show();
      last = frame;
      if ((await show(pace.moving)) === false) return;
      pace.drawn(performance.now());
      if (last === frame && !over && pace.moving !== pace.best) rest = setTimeout(() => show(), REST_MS);
    }
    ask.current = () => void show();
    const end = keepDrawn(on, feed, {
      size: (width) => {
        full = Math.min(WIDEST, Math.round(width * Math.min(2, devicePixelRatio || 1)));
      },
      show: () => void flow(),
    });
    return () => {
      over = true;
      clearTimeout(rest);
      end();
      camera.canvas.remove();
    };
  }, [lit, camera]);

  useEffect(() => {
    setSpot(null);
    setStops(null);
  }, [setup, lit.revision]);
  useEffect(() => ask.current(), [setup, style.bands, style.glow, style.haze, style.most, spot]);

  /** @param {MouseEvent} e */
  function point(e) {
    const r = /** @type {HTMLElement} */ (box.current).getBoundingClientRect();
    setSpot({ x: (e.clientX - r.x) / r.width, y: (e.clientY - r.y) / r.height });
  }

  const says = stops === null ? '' : texts.picture.stops(stops, lit.scene.setups[setup].over);
  return html`
    <div class="shot" ref=${box} role="img" aria-label=${label} data-test="shot" onClick=${point}>
      ${over}
      ${spot && html`
        <span class="spot" data-test="spot" data-side=${spot.x > 0.5 ? 'left' : 'right'} style=${{ left: `${100 * spot.x}%`, top: `${100 * spot.y}%` }}>
          ${says && html`<b>${says}</b>`}
        </span>
      `}
    </div>
  `;
}
