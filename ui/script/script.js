// The colour script: all looks of the show in one table, place by place, as a
// director reads it, on the page and on paper.
// Use: `<${ScriptSheet} state=${state} close=${fn} />`.

/** @import {PageState, Refusal, ScriptRow} from '../types' */

import { html, useEffect, useState } from '../vendor/htm-preact.js';
import { getJSON } from '../ask.js';
import { Refused } from '../parts/said.js';
import { Sheet } from '../parts/sheet.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { displayMatrix } from '../light/display.js';
import { bars, cctText, places } from './rows.js';

/** @typedef {import('../light/display.js').Matrix} Matrix */

/** @param {{state: PageState, close: () => void}} props */
export function ScriptSheet({ state, close }) {
  const [rows, setRows] = useState(/** @type {ScriptRow[] | null} */ (null));
  const [refusal, setRefusal] = useState(/** @type {Refusal | null} */ (null));
  const taken = state.live?.files?.taken ?? 0;
  const linked = state.link.phase !== 'lost';
  useEffect(() => {
    if (!linked) return undefined;
    let gone = false;
    getJSON('/api/script').then(
      (answer) => { if (!gone) { setRows(answer.looks ?? []); setRefusal(null); } },
      (why) => { if (!gone) setRefusal(why); },
    );
    return () => { gone = true; };
  }, [taken, linked, state.live?.location]);
  const s = texts.script;
  return html`
    <${Sheet} title=${s.title} close=${close} test="script">
      <div class="script" data-test="script-body">
        <p class="script-head"><b class="script-show">${state.live?.title}</b> <span>${s.about}</span>
          <button class="script-print" data-test="script-print" onClick=${() => print()}>${s.print}</button></p>
        ${refusal && html`<p class="script-refusal" data-test="script-refusal"><${Refused} refusal=${refusal} /></p>`}
        ${!rows && !refusal && html`<p>${s.loading}</p>`}
        ${rows && rows.length === 0 && html`<p>${s.none}</p>`}
        ${rows && rows.length > 0 && html`<${Table} rows=${rows} m=${displayMatrix(state.plan?.balance ?? [0.3127, 0.329])} here=${state.live?.location ?? ''} look=${state.live?.look ?? ''} />`}
      </div>
    <//>
  `;
}

/** @param {{rows: ScriptRow[], m: Matrix, here: string, look: string}} props */
function Table({ rows, m, here, look }) {
  const s = texts.script;
  return html`
    <table class="script-table" data-test="script-table">
      <thead><tr><th>${s.look}</th><th>${s.key}</th><th>${s.cues}</th><th>${s.colours}</th></tr></thead>
      ${places(rows).map((place) => html`
        <tbody>
          <tr class="script-place"><th colspan="4" scope="rowgroup">${words(place.name)}</th></tr>
          ${place.rows.map((row) => html`<${Row} row=${row} m=${m} on=${place.name === here && row.look === look} />`)}
        </tbody>
      `)}
    </table>
  `;
}

/** @param {{row: ScriptRow, m: Matrix, on: boolean}} props */
function Row({ row, m, on }) {
  const s = texts.script;
  return html`
    <tr data-test="script-row" data-look=${row.look}>
      <th scope="row">
        <b class="script-look">${words(row.look)}</b>${on && html` <small class="script-on">${s.on}</small>`}
        <small>${row.characters.length ? row.characters.map(words).join(s.and) : s.nobody}</small>
        ${row.note && html`<small class="script-note">${row.note}</small>`}
      </th>
      <td class="script-key"><span class="script-what">${s.key} </span>${row.key ? html`<b>${row.key.level}</b> <small>${cctText(row.key)}</small>` : s.noKey}</td>
      <td class="script-cues"><span class="script-what">${s.cues} </span>${row.cues.length ? row.cues.join(', ') : s.noCue}</td>
      <td class="script-colours">
        ${row.groups.length === 0 && s.dark}
        ${row.groups.map((g) => html`
          <span class="script-bar">
            <small>${words(g.name)}</small>
            <span class="script-ink" role="img" aria-label=${s.bar(g)}>${bars(m, g).map((c) => html`<span style=${`--dim: ${c.dim}; --ink: ${c.ink}`}></span>`)}</span>
            <small class=${g.level.length > 9 ? 'script-long' : undefined}>${g.level}</small>
          </span>
        `)}
      </td>
    </tr>
  `;
}
