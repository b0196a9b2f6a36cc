// The plan against what was found on the network: one list of what differs, set
// after a yes; nodes, devices that are no lamp of the rig, the meter.
// Use: `<${Found} rig=${rig} open=${fn} />`.

/** @import {Device, Refusal, RigRow} from '../types' */
/** @import {RigView} from './rig.js' */

import { html, useState } from '../vendor/htm-preact.js';
import { postJSON } from '../ask.js';
import { portNews } from '../network.js';
import { Refused, Said } from '../parts/said.js';
import { texts } from '../texts.js';

/** Longest that the network and its lamps are waited for, ms. */
const SEARCH_MS = 30_000;

/** @param {{rig: RigView, open: (panel: 'details' | 'meter') => void}} props */
export function Found({ rig, open }) {
  const f = texts.rig.found;
  const [left, setLeft] = useState(/** @type {string[]} */ ([])); // not to be set
  const [sure, setSure] = useState(false);
  const [busy, setBusy] = useState('');
  const [why, setWhy] = useState(/** @type {Refusal | null} */ (null));
  const rows = rig.check?.rows ?? [];
  const off = rows.filter((r) => !r.right);
  const able = off.filter((r) => r.change && r.place).map((r) => r.place ?? '');
  const chosen = able.filter((id) => !left.includes(id));

  /** @param {string} what @param {() => Promise<unknown>} run */
  async function ask(what, run) {
    if (busy) return;
    setBusy(what);
    setWhy(null);
    setSure(false);
    try {
      await run();
    } catch (no) {
      setWhy(/** @type {Refusal} */ (no));
    }
    setBusy('');
    await rig.reload();
  }
  const search = () => ask('search', () => postJSON('/api/devices', {}, SEARCH_MS));
  const set = () => ask('set', async () => rig.checked(await postJSON('/api/rigcheck', { apply: chosen }, SEARCH_MS)));

  return html`
    <div class="rig-lamp" data-test="found">
      <button class="choice" data-test="found-ask" aria-disabled=${String(Boolean(busy) || rig.hot)} onClick=${() => !rig.hot && search()}>
        ${busy === 'search' ? f.asking : f.ask}<small>${rig.hot ? texts.places.locked : f.askWhat}</small>
      </button>
      ${why && html`<p class="rig-wrong" role="alert" data-test="found-why"><${Refused} refusal=${why} /></p>`}
      ${rig.asked ? html`<p data-test="found-sum">${f.sum(rows.filter((r) => r.place).length, rows.filter((r) => r.place && r.right).length, rig.devices.length)}</p>` : html`<p>${f.notAsked}</p>`}
      ${rig.asked && off.length > 0 && html`
        <ul class="rig-list found-rows" data-test="found-rows">
          ${off.map((row) => html`<${Row} row=${row} rig=${rig} on=${chosen.includes(row.place ?? '')}
            turn=${() => setLeft(left.includes(row.place ?? '') ? left.filter((id) => id !== row.place) : [...left, row.place ?? ''])} />`)}
        </ul>
      `}
      ${able.length > 0 && rig.asked && (sure
        ? html`
          <p class="rig-wrong">${f.caution}</p>
          <div class="rig-row">
            <button class="choice" data-test="found-yes" onClick=${set}>${f.yes(chosen.length)}</button>
            <button class="choice" data-test="found-no" onClick=${() => setSure(false)}>${f.no}</button>
          </div>`
        : html`<button class="choice" data-test="found-set" aria-disabled=${String(chosen.length === 0 || Boolean(busy) || rig.hot)} onClick=${() => chosen.length > 0 && !busy && !rig.hot && setSure(true)}>
            ${busy === 'set' ? f.setting : f.set(chosen.length)}
          </button>`)}
      ${rig.asked && off.length === 0 && rows.length > 0 && html`<p data-test="found-right">${f.right}</p>`}
      <${Nodes} rig=${rig} />
      <div class="rig-row">
        <button class="choice" onClick=${() => open('details')}>${f.details}</button>
        <button class="choice" data-test="found-meter" onClick=${() => open('meter')}>${f.meter}</button>
      </div>
    </div>
  `;
}

/** @param {{row: RigRow, rig: RigView, on: boolean, turn: () => void}} props */
function Row({ row, rig, on, turn }) {
  const name = row.place ?? row.lamp ?? row.uid ?? '';
  return html`
    <li data-test=${`found-${name}`}>
      ${row.change && row.place && html`<input type="checkbox" aria-label=${texts.rig.found.setThis(name)} checked=${on} onChange=${turn} />`}
      <div>
        <b>${name}</b>${row.findings.map((f) => html`<${Said} text=${f.what} /><${Said} text=${f.mend} tag="i" />`)}
        ${row.failed && html`<em class="rig-wrong"><${Said} text=${row.failed} /></em>`}
      </div>
      ${row.place && html`<button class="chip" onClick=${() => rig.choose(row.place ?? '')}>${texts.rig.found.see}</button>`}
    </li>
  `;
}

/** @param {{rig: RigView}} props */
function Nodes({ rig }) {
  const f = texts.rig.found;
  return html`
    <h4>${f.nodes}</h4>
    ${rig.nodes.length === 0 && html`<p>${texts.details.noNodes}</p>`}
    <ul class="rig-news" data-test="found-nodes">
      ${rig.nodes.map((n) => html`
        <li><b>${n.name}</b> ${n.ip} ${f.ports(n.ports ?? [])}${n.lost && html` <b>${texts.details.lost}</b>`}
          ${portNews(n).map((text) => html`<i>${text}</i>`)}
          ${deviceLine(rig.devices.filter((d) => d.node === n.ip))}
        </li>
      `)}
    </ul>
    ${rig.unserved.length > 0 && html`<p class="rig-wrong" data-test="found-unserved">${f.unserved(rig.unserved)}</p>`}
  `;
}

/** @param {Device[]} devices */
function deviceLine(devices) {
  return devices.length > 0 && html`<i>${texts.rig.found.devices(devices.length, devices.filter((d) => d.lost || !d.asked).length)}</i>`;
}
