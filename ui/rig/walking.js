// The walk on the page: one lamp at a time shows itself, and four large buttons say
// what came of it. At its end, what was found.
// Use: `<${Walking} rig=${rig} walk=${walk} go=${fn} end=${fn} />`.

/** @import {RigView} from './rig.js' */
/** @import {Walk} from './walk.js' */

import { html, useEffect } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { flipped, hasEnds } from './stand.js';
import { beginWalk, goOn, markLamp, noteTurned, servedBy, tally } from './walk.js';

/** @param {{rig: RigView, walk: Walk, go: (walk: Walk) => void, end: () => void}} props */
export function Walking({ rig, walk, go, end }) {
  const lamps = rig.plan.lamps ?? [];
  const lamp = lamps.find((l) => l.id === walk.at);
  useEffect(() => {
    if (lamp) rig.show(lamp.id);
    else rig.stop();
  }, [walk.at, rig.way]);
  if (!lamp) return html`<${WalkEnd} rig=${rig} walk=${walk} go=${go} end=${end} />`;
  const w = texts.rig.walk;
  const node = servedBy(lamp, rig.nodes);
  const seen = lamps.filter((l) => walk.marks[l.id]).length;
  async function flip() {
    if (lamp && hasEnds(lamp) && (await rig.change(lamp.id, flipped))) go(noteTurned(walk, lamp.id));
  }
  return html`
    <div class="walk" data-test="walk" key="walk">
      <div class="rig-head">
        <h3 aria-live="polite" data-test="walk-at">${lamp.id}</h3>
        <span data-test="walk-count">${w.count(seen, lamps.length)}</span>
        <button class="chip" data-test="walk-end" onClick=${end}>${w.end}</button>
      </div>
      <p>${lamp.type}, ${lamp.address}, ${node ? node.name : texts.rig.noNode}</p>
      <p class="walk-how" data-test="walk-how">${rig.how(lamp.id)}
        ${rig.uid(lamp.id) && html`<button class="chip" data-test="walk-by" onClick=${() => rig.turnBy(lamp.id)}>${rig.shownBy(lamp.id) ? w.byLight : w.byRDM}</button>`}
        ${rig.showing !== lamp.id && html`<button class="chip" data-test="walk-again" onClick=${() => rig.show(lamp.id)}>${w.again}</button>`}
      </p>
      <div class="walk-keys">
        <button data-test="walk-flip" aria-disabled=${String(!hasEnds(lamp))} onClick=${flip}><b>${w.flip}</b><small>${hasEnds(lamp) ? w.flipWhat : w.noEnds}</small></button>
        <button data-test="walk-next" onClick=${() => go(goOn(walk, lamps))}><b>${w.next}</b><small>${w.nextWhat}</small></button>
        <button data-test="walk-missing" onClick=${() => go(markLamp(walk, 'missing', lamps))}><b>${w.missing}</b><small>${w.missingWhat}</small></button>
        <button data-test="walk-found" onClick=${() => go(markLamp(walk, 'found', lamps))}><b>${w.found}</b><small>${w.foundWhat}</small></button>
      </div>
    </div>
  `;
}

/** @param {{rig: RigView, walk: Walk, go: (walk: Walk) => void, end: () => void}} props */
function WalkEnd({ rig, walk, go, end }) {
  const w = texts.rig.walk;
  const lamps = rig.plan.lamps ?? [];
  const t = tally(walk, lamps, rig.nodes);
  const list = (/** @type {string} */ title, /** @type {string} */ test, /** @type {typeof lamps} */ of, why = (/** @type {typeof lamps[0]} */ _) => '') =>
    of.length > 0 && html`
      <h4>${title}</h4>
      <ul class="rig-list" data-test=${test}>
        ${of.map((l) => html`<li><button onClick=${() => go({ ...walk, at: l.id })}><b>${l.id}</b><span>${l.address}</span><small>${why(l)}</small></button></li>`)}
      </ul>
    `;
  return html`
    <div class="rig-lamp" data-test="walk-list">
      <div class="rig-head"><h3>${w.over}</h3><button class="chip" data-test="walk-end" onClick=${end}>${w.end}</button></div>
      <p>${w.sum(t.found.length, t.missing.length, t.open.length)}</p>
      ${list(w.missing, 'walk-list-missing', t.missing, (l) => (servedBy(l, rig.nodes) ? w.tryThis : texts.rig.noNode))}
      ${list(w.open, 'walk-list-open', t.open)}
      ${list(w.unserved, 'walk-list-unserved', t.unserved.filter((l) => !t.missing.includes(l)), () => texts.rig.noNode)}
      ${list(w.turned, 'walk-list-turned', t.turned)}
      <button class="choice" data-test="walk-anew" onClick=${() => go(beginWalk(walk.location, lamps))}>${w.anew}</button>
    </div>
  `;
}
