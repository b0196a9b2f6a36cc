// What of the set is another than in a take, the worst first.
// Use: `<${DifferenceTable} differs=${differs} />`.

/** @import {Differs} from './types' */

import { html } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { words } from '../format.js';
import { differenceWords, sorted } from './telling.js';

/** @param {{differs: Differs}} props */
export function DifferenceTable({ differs }) {
  const d = texts.takes.differs;
  const { far, near } = sorted(differs);
  return html`
    <div class="differences" data-test="differences" role="status">
      ${far.length > 0 && html`
        <table>
          <caption class="unseen">${d.title}</caption>
          <thead><tr><th scope="col">${d.lamp}</th><th scope="col">${d.light}</th><th scope="col">${d.shade}</th></tr></thead>
          <tbody>
            ${far.map((l) => {
              const say = differenceWords(l, differs);
              const more = [say.cell, say.other].filter(Boolean).join('; ');
              return html`
                <tr data-test="difference" data-rig=${l.rig} data-state=${l.state}>
                  <th scope="row">${words(l.rig || l.kit)}</th>
                  <td colspan=${say.colour ? 1 : 2}>${say.light}</td>
                  ${say.colour && html`<td>${say.colour}</td>`}
                </tr>
                ${more && html`<tr class="difference-more"><td colspan="3">${more}</td></tr>`}
              `;
            })}
          </tbody>
        </table>
      `}
      <p data-test="as-it-was">${far.length ? d.near(near) : d.same} <small>${d.within(differs.near_stops, differs.near_delta_uv)}</small></p>
    </div>
  `;
}
