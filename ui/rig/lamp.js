// The chosen lamp: what it is, where it stands, what reaches it, and all of that
// to be changed; without one, all lamps to choose from.
// Use: `<${Lamp} lamp=${lamp} rig=${rig} />`, `<${Lamps} rig=${rig} />`.

/** @import {PlanLamp, Point} from '../types' */
/** @import {RigView} from './rig.js' */

import { html } from '../vendor/htm-preact.js';
import { words } from '../format.js';
import { Said } from '../parts/said.js';
import { useText } from '../parts/use-text.js';
import { texts } from '../texts.js';
import { overruns, parseAddress } from './address.js';
import { groupsWith } from './power.js';
import { flipped, hasEnds, pointText, turnFields, turnOf, turned } from './stand.js';
import { servedBy } from './walk.js';

/** @param {{lamp: PlanLamp, rig: RigView}} props */
export function Lamp({ lamp, rig }) {
  const r = texts.rig;
  const turn = turnOf(lamp);
  const device = rig.device(lamp.id);
  const groups = groupsWith(lamp, rig.plan.groups ?? []);
  const shown = rig.showing === lamp.id;
  /** @param {number} axis @param {string} text */
  const place = (axis, text) => {
    const v = Number(text.replace(',', '.'));
    if (!Number.isFinite(v) || text.trim() === '') return;
    void rig.change(lamp.id, (l) => ({ at: pointText(/** @type {Point} */ (l.place.map((was, i) => (i === axis ? v : was)))) }));
  };
  /** @param {string} text */
  const turnTo = (text) => {
    const v = Number(text.replace(',', '.'));
    if (Number.isFinite(v) && text.trim() !== '') void rig.change(lamp.id, (l) => turnFields(turned(l, v)));
  };
  return html`
    <div class="rig-lamp" data-test="rig-lamp">
      <div class="rig-head">
        <h3 data-test="rig-lamp-name">${lamp.id}</h3>
        <button class="chip" data-test="rig-none" onClick=${() => rig.choose('')}>${r.all}</button>
      </div>
      <p>${r.kind(lamp)}</p>
      <${Reach} lamp=${lamp} rig=${rig} />
      <div class="rig-row">
        <button class="choice" data-test="rig-show" aria-pressed=${String(shown)} aria-disabled=${String(rig.locked)} onClick=${() => !rig.locked && (shown ? rig.stop() : rig.show(lamp.id))}>${shown ? r.showing : r.show}</button>
        ${hasEnds(lamp) && html`<button class="choice" data-test="rig-flip" aria-disabled=${String(rig.locked)} onClick=${() => !rig.locked && rig.change(lamp.id, flipped)}>${r.flip}</button>`}
      </div>
      ${shown && html`<p data-test="rig-how">${rig.how(lamp.id)}</p>`}
      <div class="rig-fields">
        <${Field} label=${r.address} value=${lamp.address} test="rig-address" locked=${rig.locked} wrong=${(/** @type {string} */ t) => wrongAddress(t, lamp, rig)} commit=${(/** @type {string} */ t) => rig.change(lamp.id, () => ({ address: t.trim() }))} />
        <${Field} label=${r.circuit} value=${lamp.circuit} test="rig-circuit" locked=${rig.locked} commit=${(/** @type {string} */ t) => rig.change(lamp.id, () => ({ circuit: t.trim() }))} />
        ${['x', 'y', 'z'].map((axis, i) => html`
          <${Field} label=${r.axis[i]} unit="m" number value=${String(Number(lamp.place[i].toFixed(3)))} test=${`rig-${axis}`} locked=${rig.locked} commit=${(/** @type {string} */ t) => place(i, t)} />
        `)}
        ${turn && html`<${Field} label=${r.turn} unit="°" number value=${String(turn.degrees)} test="rig-turn" locked=${rig.locked} commit=${turnTo} />`}
      </div>
      ${groups.length > 0 && html`<p>${r.inGroups(groups.map((g) => words(g.name)))}</p>`}
      ${device && html`
        <p data-test="rig-device">${r.device(device)}</p>
        ${device.sensors.length > 0 && html`<p data-test="rig-sensors">${device.sensors.map((s) => `${s.name} ${s.text}`).join(', ')}</p>`}
      `}
    </div>
  `;
}

/** What stands between the lamp and its light. @param {{lamp: PlanLamp, rig: RigView}} props */
function Reach({ lamp, rig }) {
  const r = texts.rig;
  const node = servedBy(lamp, rig.nodes);
  const others = rig.clash.get(lamp.id) ?? [];
  const row = rig.row(lamp.id);
  return html`
    <ul class="rig-news">
      <li data-test="rig-node">${node ? r.servedBy(node) : r.unserved(lamp.address)}</li>
      ${others.length > 0 && html`<li class="rig-wrong" data-test="rig-clash">${r.clash(lamp, others)}</li>`}
      ${overruns(lamp) && html`<li class="rig-wrong">${r.overrun(lamp)}</li>`}
      ${row && !row.right && rig.asked && row.findings.map((f) => html`<li class="rig-wrong" data-test="rig-finding"><${Said} text=${f.what} />${f.mend && ' '}<${Said} text=${f.mend} tag="i" /></li>`)}
    </ul>
  `;
}

/** Why an address cannot be; "" when it can. @param {string} text @param {PlanLamp} lamp @param {RigView} rig */
function wrongAddress(text, lamp, rig) {
  if (!parseAddress(text)) return texts.rig.noAddress;
  const there = { ...lamp, address: text };
  if (overruns(there)) return texts.rig.overrun(there);
  const others = rig.clashAt(there);
  return others.length ? texts.rig.clash(there, others) : '';
}

/**
 * A line to type in. What is wrong with it is said while it is typed; it is
 * changed when it is left, or by Enter.
 *
 * @param {{label: string, value: string, unit?: string, number?: boolean, test: string, locked: boolean, wrong?: (text: string) => string, commit: (text: string) => unknown}} props
 */
export function Field({ label, value, unit = '', number = false, test, locked, wrong, commit }) {
  const [text, write, leave] = useText(value);
  const why = text === value ? '' : wrong?.(text) ?? '';
  return html`
    <label class="rig-field">
      <span>${label}</span>
      <input data-test=${test} value=${text} disabled=${locked} inputmode=${number ? 'decimal' : 'text'} autocomplete="off" autocapitalize="none" spellcheck="false"
        onInput=${(/** @type {any} */ e) => write(e.currentTarget.value)}
        onKeyDown=${(/** @type {KeyboardEvent} */ e) => { e.stopPropagation(); if (e.key === 'Escape') write(value); }}
        onChange=${(/** @type {any} */ e) => { leave(); if (e.currentTarget.value !== value) commit(e.currentTarget.value); }} />
      ${unit && html`<small>${unit}</small>`}
      ${why && html`<em class="rig-wrong" data-test=${`${test}-wrong`}>${why}</em>`}
    </label>
  `;
}

/** @param {{rig: RigView}} props */
export function Lamps({ rig }) {
  const r = texts.rig;
  const lamps = rig.plan.lamps ?? [];
  if (lamps.length === 0) return html`<p class="rig-empty">${r.noLamps}</p>`;
  return html`
    <p class="rig-empty">${r.begin}</p>
    <ul class="rig-list" data-test="rig-lamps">
      ${lamps.map((l) => html`
        <li><button data-test=${`lamp-${l.id}`} onClick=${() => rig.choose(l.id)}>
          <b>${l.id}</b><span>${l.address || r.noneGiven}</span>
          <small>${[l.type, l.circuit && words(l.circuit), rig.clash.has(l.id) && r.clashes, !servedBy(l, rig.nodes) && l.footprint > 0 && r.noNode].filter(Boolean).join(', ')}</small>
        </button></li>
      `)}
    </ul>
  `;
}
