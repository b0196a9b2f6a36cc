// The rig as lists: addresses given automatically, circuits with what hangs on
// them, groups with their lamps.
// Use: `<${Addresses} rig=${rig} />`, `<${Circuits} rig=${rig} />`, `<${Groups} rig=${rig} />`.

/** @import {RigView} from './rig.js' */

import { html, useState } from '../vendor/htm-preact.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { number, parseAddress, slotsOf } from './address.js';
import { Field } from './lamp.js';
import { amperes, circuits, lampsOf } from './power.js';
import { lampEdit } from './stand.js';

/** @param {{rig: RigView}} props */
export function Addresses({ rig }) {
  const a = texts.rig.numbers;
  const lamps = rig.plan.lamps ?? [];
  const [start, setStart] = useState('0:0:1.001');
  const [asked, setAsked] = useState(false);
  const from = parseAddress(start);
  const changed = from && number(lamps, from);
  const sorted = [...lamps].sort((l, m) => where(l) - where(m));
  async function write() {
    setAsked(false);
    if (changed) await rig.edit((plan) => (from && number(plan.lamps ?? [], from) || []).map((c) => lampEdit(plan.location, c.id, { address: c.address })));
  }
  return html`
    <div class="rig-lamp" data-test="numbers">
      <${Field} label=${a.start} value=${start} test="numbers-start" locked=${rig.locked} wrong=${(/** @type {string} */ t) => (parseAddress(t) ? '' : texts.rig.noAddress)} commit=${(/** @type {string} */ t) => { setStart(t.trim()); setAsked(false); }} />
      ${!asked && html`<button class="choice" data-test="numbers-give" aria-disabled=${String(rig.locked || !changed?.length)} onClick=${() => changed?.length && !rig.locked && setAsked(true)}>${changed?.length ? a.give(changed.length) : changed ? a.same : a.end}</button>`}
      ${asked && changed && html`
        <ul class="rig-list" data-test="numbers-changes">
          ${changed.map((c) => html`<li><b>${c.id}</b><span>${c.address}</span><small>${a.was(lamps.find((l) => l.id === c.id)?.address ?? '')}</small></li>`)}
        </ul>
        <p>${a.caution}</p>
        <div class="rig-row">
          <button class="choice" data-test="numbers-yes" onClick=${write}>${a.yes}</button>
          <button class="choice" onClick=${() => setAsked(false)}>${texts.rig.found.no}</button>
        </div>
      `}
      ${!asked && html`
        <ul class="rig-list" data-test="numbers-list">
          ${sorted.map((l) => html`
            <li><button onClick=${() => rig.choose(l.id)}><b>${l.id}</b><span>${range(l)}</span>
              ${rig.clash.has(l.id) && html`<em class="rig-wrong">${texts.rig.clashWith(rig.clash.get(l.id) ?? [])}</em>`}
            </button></li>
          `)}
        </ul>
      `}
    </div>
  `;
}

/** @param {import('../types').PlanLamp} lamp */
function where(lamp) {
  const s = slotsOf(lamp);
  return s ? s.port * 512 + s.first : Infinity;
}

/** @param {import('../types').PlanLamp} lamp */
function range(lamp) {
  const s = slotsOf(lamp);
  return s ? texts.rig.numbers.slots(lamp.address, s.last) : lamp.address || texts.rig.noneGiven;
}

/** @param {{rig: RigView}} props */
export function Circuits({ rig }) {
  const c = texts.rig.power;
  return html`
    <div class="rig-lamp" data-test="circuits">
      <ul class="rig-list">
        ${circuits(rig.plan.lamps ?? []).map((circuit) => html`
          <li data-test=${`circuit-${circuit.name || 'none'}`}>
            <b>${circuit.name ? words(circuit.name) : c.none}</b><span>${c.load(circuit.watts)}</span>
            <small>${c.draws(amperes(circuit.watts, 230), amperes(circuit.watts, 120))}</small>
            <small>${circuit.lamps.map((l) => l.id).join(', ')}${circuit.silent > 0 && `. ${c.silent(circuit.silent)}`}</small>
          </li>
        `)}
      </ul>
      <p class="rig-caution">${c.what}</p>
      <p class="rig-caution"><b>${c.caution}</b></p>
    </div>
  `;
}

/** @param {{rig: RigView}} props */
export function Groups({ rig }) {
  const groups = rig.plan.groups ?? [];
  const lamps = rig.plan.lamps ?? [];
  if (groups.length === 0) return html`<p class="rig-empty">${texts.rig.noGroups}</p>`;
  const inNone = lamps.filter((l) => (l.cells?.length ?? 0) > 0 && !groups.some((g) => lampsOf(g, [l]).length > 0));
  return html`
    <div class="rig-lamp" data-test="groups">
      ${groups.map((g) => html`
        <h4>${words(g.name)} <small>${texts.paint.chosen(g.cells.length)}</small></h4>
        <div class="rig-chips">${lampsOf(g, lamps).map((l) => html`<button class="chip" aria-pressed=${String(l.id === rig.chosen)} onClick=${() => rig.choose(l.id)}>${l.id}</button>`)}</div>
      `)}
      ${inNone.length > 0 && html`<h4>${texts.rig.inNone}</h4><p>${inNone.map((l) => l.id).join(', ')}</p>`}
    </div>
  `;
}
