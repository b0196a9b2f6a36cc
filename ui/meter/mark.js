// The reading at one mark: the stop large, as a meter in the hand shows it, and
// how the groups stand under the key.
// Use: `<${MarkReading} mark=${mark} camera=${report.camera} />`.

/** @import {MeterCamera, MeterGroup, MeterMark} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { figures, luxText, tStop } from './words.js';

/** From how far under the key to how far over it the line of a group goes, in stops; the style marks the key at 6 of 8. */
const UNDER = 6;
const OVER = 2;

/** @param {{mark: MeterMark, camera: MeterCamera}} props */
export function MarkReading({ mark, camera }) {
  const m = texts.meter;
  const stop = tStop(mark.stop);
  return html`
    <section class="meter-part meter-mark" data-test=${`mark-${mark.name}`} data-lux=${mark.lux.total} data-stop=${mark.stop}>
      <h3>${m.mark(mark.name)}</h3>
      <p class="meter-stop">
        <b class="meter-number">${stop.whole ? `T${stop.whole}` : m.noStop(mark.lux.total)}</b>
        ${stop.whole && html`<span class="meter-tenths">${m.tenths(stop.tenths)}</span>`}
        <span class="meter-over">${m.over(mark.stops_over_camera, camera.stop)}</span>
      </p>
      <p>${m.facing(luxText(mark.lux.total))}</p>
      ${mark.ratio && html`
        <p data-test="ratio"><b>${m.ratio} ${figures(mark.ratio.key_to_fill, 2)} : 1</b><small class="meter-def">${m.sumRatio(figures(mark.ratio.key_and_fill_to_fill, 2))}</small></p>
      `}
      ${mark.groups.length > 0 && html`<${Groups} groups=${mark.groups} />`}
      ${mark.operator_shadow_stops > 0.05 && html`<p class="meter-warn" data-test="shadow">${m.shadow(mark.operator_shadow_stops)}</p>`}
      ${mark.spots.map((s) => html`<p class=${s.clip_margin_stops <= 0 ? 'meter-warn' : ''}>${m.spot(s)}</p>`)}
    </section>
  `;
}

/** @param {{groups: MeterGroup[]}} props */
function Groups({ groups }) {
  const m = texts.meter;
  return html`
    <ul class="meter-groups" aria-label=${m.groups}>
      ${groups.map((g) => html`
        <li data-test=${`group-${g.name}`}>
          <span class="meter-group">${words(g.name)}</span>
          <span class="meter-line" aria-hidden="true"><i style=${{ width: `${length(g)}%` }}></i></span>
          <span class="meter-under">${m.under(g)}</span>
          <span class="meter-lux">${figures(g.lux)} lx</span>
        </li>
      `)}
    </ul>
  `;
}

/** The length of a group's line, in percent. @param {MeterGroup} g */
function length(g) {
  if (!g.is_key && g.stops_under_key === undefined) return 0;
  return Math.max(2, Math.min(100, (100 * (UNDER - (g.stops_under_key ?? 0))) / (UNDER + OVER)));
}
