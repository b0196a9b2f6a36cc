// What the meter reads of the light that is on: at each mark stop, lux, ratio
// and the groups under the key; what goes white in shot; the floor; the shutter.
// Use: `<${MeterSheet} state=${state} close=${fn} />`.

/** @import {MeterReport, PageState} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { Sheet } from '../parts/sheet.js';
import { time } from '../format.js';
import { texts } from '../texts.js';
import { MarkReading } from './mark.js';
import { clipping, figures, shutterTime, together } from './words.js';

/** @param {{state: PageState, close: () => void}} props */
export function MeterSheet({ state, close }) {
  const { live, meter } = state;
  const here = meter && meter.location === live?.location ? meter : null;
  const stale = state.link.phase === 'lost';
  return html`
    <${Sheet} title=${here ? texts.meter.of(here.look) : texts.meter.title} close=${close} test="meter">
      ${stale && html`<p class="meter-stale">${texts.meter.stale}</p>`}
      ${here ? html`<${Readings} report=${here} stale=${stale} />` : html`<${Waiting} stage=${live?.light?.stage ?? ''} />`}
    <//>
  `;
}

/** How far the light is, while there is nothing to read. @param {{stage: string}} props */
function Waiting({ stage }) {
  const w = texts.meter.waiting;
  const done = { computing: 0, coarse: 1, direct: 2, bounced: 3 }[stage] ?? 0;
  if (stage === '' || stage === 'failed') return html`<p data-test="meter-waiting">${stage ? w.failed : w.none}</p>`;
  return html`
    <div class="meter-waiting" data-test="meter-waiting">
      <p>${done === 3 ? w.reading : w.computing}</p>
      <ol class="meter-steps">
        ${w.steps.map((step, i) => html`
          <li data-step=${i < done ? 'done' : i === done ? 'now' : 'open'}><b>${step}</b><small>${i < done ? w.done : i === done ? w.now : w.open}</small></li>
        `)}
      </ol>
      ${done < 3 && html`<p>${w.note}</p>`}
    </div>
  `;
}

/** @param {{report: MeterReport, stale: boolean}} props */
function Readings({ report, stale }) {
  const m = texts.meter;
  return html`
    <div class=${stale ? 'meter meter-old' : 'meter'} data-test="meter-report" data-look=${report.look} data-setup=${report.setup}>
      <p class="meter-head">${m.exposed(report, shutterTime(report.camera.shutter_deg, report.camera.fps))}</p>
      ${report.marks.map((mark) => html`<${MarkReading} mark=${mark} camera=${report.camera} />`)}
      ${report.marks.length === 0 && html`<p>${m.noMarks}</p>`}
      <${InShot} report=${report} />
      <${Floor} floor=${report.floor} />
      <${Shutter} report=${report} />
      <${Fades} report=${report} />
      <p class="meter-note">${m.note}</p>
    </div>
  `;
}

/** Lamps that the camera sees. @param {{report: MeterReport}} props */
function InShot({ report }) {
  const m = texts.meter;
  const white = clipping(report);
  const kept = report.lamps.filter((l) => !l.clips).map((l) => l.id);
  return html`
    <section class="meter-part" data-test="meter-lamps">
      <h3>${m.inShot}</h3>
      ${white.length > 0 && html`
        <ul class="meter-white">${white.map((w) => html`
          <li data-test="clips">
            <b>${w.names}</b><span>${m.clips(w.by)}</span>
            <small>${m.keeps(w.keep, w.hottest)}</small>
          </li>
        `)}</ul>
      `}
      ${kept.length > 0 && html`<p>${m.kept(together(kept))}</p>`}
      ${report.lamps.length === 0 && html`<p>${m.noneInShot}</p>`}
    </section>
  `;
}

/** @param {{floor: MeterReport['floor']}} props */
function Floor({ floor }) {
  const m = texts.meter;
  if (!floor) return null;
  const under = floor.min_lux < floor.limit;
  return html`
    <section class=${under ? 'meter-part meter-alarm' : 'meter-part'} data-test="meter-floor" data-under=${String(under)}>
      <h3>${m.floor}</h3>
      <p><b class="meter-number">${figures(floor.min_lux, 2)} lx</b> ${m.floorAt(floor)}</p>
      <p>${under ? m.floorUnder(floor.limit) : m.floorOver(floor.limit)}</p>
    </section>
  `;
}

/** Mains light, instant flips, fades that are not smooth. @param {{report: MeterReport}} props */
function Shutter({ report }) {
  const m = texts.meter;
  return html`
    <section class="meter-part" data-test="meter-shutter">
      <h3>${m.shutter}</h3>
      <ul>
        ${report.flicker.map((f) => html`<li>${m.mains(f)}</li>`)}
        ${report.flips.map((f) => html`<li>${m.flip(f)}</li>`)}
        ${alikeSteps(report.stepping).map((s) => html`<li data-test="stepping"><b>${m.stepping(s.cue, s.verdict)}</b> ${together(s.lamps)}</li>`)}
      </ul>
    </section>
  `;
}

/** Lamps of one cue that step alike. @param {MeterReport['stepping']} all */
function alikeSteps(all) {
  /** @type {Map<string, {cue: number, verdict: string, lamps: string[]}>} */
  const alike = new Map();
  for (const s of all) {
    const key = `${s.cue} ${s.verdict}`;
    const at = alike.get(key) ?? { cue: s.cue, verdict: s.verdict, lamps: [] };
    at.lamps.push(s.lamp);
    alike.set(key, at);
  }
  return [...alike.values()];
}

/** How long the fades to this look take, on set and on screen. @param {{report: MeterReport}} props */
function Fades({ report }) {
  const m = texts.meter;
  const speed = report.camera.speed ?? 0;
  const slow = speed > 0 && Math.abs(speed - 1) > 1e-6;
  if (report.times.length === 0 && !slow) return null;
  return html`
    <section class="meter-part" data-test="meter-times">
      <h3>${m.times}</h3>
      ${slow && html`<p>${m.speed(report.camera)}</p>`}
      <ul>${report.times.map((t) => html`<li>${m.fade(t, time(t.real_s * 1000), t.on_screen_s === undefined ? '' : time(t.on_screen_s * 1000))}</li>`)}</ul>
    </section>
  `;
}

