// What the picture shows: which set-up's camera or the plan, stops as bands,
// glow, haze.
// Use: `<${Choices} setups=${[]} setup=${0} chosen=${chosen} choose=${fn} />`.

/** @import {SceneSetup} from '../types' */

import { html } from '../vendor/htm-preact.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { HAZES } from './haze.js';

/**
 * @typedef {object} Chosen
 * @property {boolean} plan the plan in place of the camera's picture
 * @property {string} setup by name; "" is the first
 * @property {boolean} bands
 * @property {boolean} glow
 * @property {number} haze share of light that it takes on 10 m, 0 for none
 *
 * @param {{setups: SceneSetup[], setup: number, chosen: Chosen, choose: (c: Chosen) => void}} props
 */
export function Choices({ setups, setup, chosen, choose }) {
  const p = texts.picture;
  /** @param {string} name @param {string} test @param {boolean} on @param {Partial<Chosen>} change */
  const button = (name, test, on, change) => html`
    <button class="view" data-test=${test} aria-pressed=${String(on)} onClick=${() => choose({ ...chosen, ...change })}>${name}</button>
  `;
  const thicker = HAZES[(HAZES.indexOf(chosen.haze) + 1) % HAZES.length];
  return html`
    <div class="views" role="group" aria-label=${p.views}>
      <div class="views-from">
        ${setups.map((s, i) => button(words(s.name), `setup-${s.name}`, !chosen.plan && i === setup, { plan: false, setup: s.name }))}
        ${button(p.plan, 'view-plan', chosen.plan, { plan: true })}
      </div>
      ${!chosen.plan && button(p.bands, 'view-bands', chosen.bands, { bands: !chosen.bands })}
      ${!chosen.plan && button(p.glow, 'view-glow', chosen.glow, { glow: !chosen.glow })}
      ${!chosen.plan && button(p.haze, 'view-haze', chosen.haze > 0, { haze: thicker })}
    </div>
  `;
}
