// The next place: a new location with the rig, the groups and the marks of the one that
// is lit, so that the show's looks work there as soon as lamps stand.
// Use: `<${NextPlace} state=${state} go=${fn} />`.

/** @import {Edit, PageState, Refusal} from '../types' */

import { html, useState } from '../vendor/htm-preact.js';
import { postJSON } from '../ask.js';
import { Refused } from '../parts/said.js';
import { words } from '../format.js';
import { texts } from '../texts.js';

/** Adding a location reads the whole show again, ms. */
const WAIT_MS = 20_000;

/**
 * The edit that makes it.
 *
 * @param {{name: string, from: string, address: string, looks: boolean, cues: boolean}} place address "" keeps those of `from`
 * @returns {Edit}
 */
export function placeEdit({ name, from, address, looks, cues }) {
  /** @type {Record<string, string>} */
  const fields = { from, addresses: address || 'keep' };
  if (looks) fields.looks = 'yes';
  if (cues) fields.cues = 'yes';
  return { do: 'add', what: 'location', name, fields };
}

/** @param {{state: PageState, go: (name: string) => void}} props */
export function NextPlace({ state, go }) {
  const p = texts.nextPlace;
  const from = state.live?.location ?? '';
  const [place, setPlace] = useState({ name: '', address: '', looks: false, cues: false });
  const [open, setOpen] = useState(false);
  const [refusal, setRefusal] = useState(/** @type {Refusal | null} */ (null));
  const [made, setMade] = useState('');
  if (!state.live?.edits || !from) return null;
  if (!open) return html`<button class="choice" data-test="next-place" onClick=${() => setOpen(true)}>${p.title}<small>${p.from(words(from))}</small></button>`;
  const good = /^[a-z][a-z0-9-]*$/.test(place.name) && !(state.plan?.locations ?? []).includes(place.name);
  const set = (/** @type {Partial<typeof place>} */ change) => setPlace({ ...place, ...change });

  async function make() {
    if (!good) return;
    try {
      await postJSON('/api/edit', { revision: state.live?.edits?.revision ?? 0, live: false, edits: [placeEdit({ ...place, from })] }, WAIT_MS);
      setMade(place.name);
      setRefusal(null);
    } catch (why) {
      setRefusal(/** @type {Refusal} */ (why));
    }
  }

  if (made) {
    return html`
      <p role="status" data-test="next-made">${p.made(words(made))}</p>
      <button class="choice" onClick=${() => go(made)} data-test="next-go">${words(made)}<small>${texts.details.goTo}</small></button>
    `;
  }
  return html`
    <form class="next-place" data-test="next-form" onSubmit=${(/** @type {Event} */ e) => { e.preventDefault(); void make(); }}>
      <label>${p.name}<input data-test="next-name" value=${place.name} placeholder="boiler-house" autocomplete="off" autocapitalize="none" spellcheck="false"
        onInput=${(/** @type {any} */ e) => set({ name: e.currentTarget.value })} onKeyDown=${(/** @type {Event} */ e) => e.stopPropagation()} /></label>
      <label>${p.address}<input data-test="next-address" value=${place.address} placeholder=${p.keep} autocomplete="off" inputmode="text"
        onInput=${(/** @type {any} */ e) => set({ address: e.currentTarget.value.trim() })} onKeyDown=${(/** @type {Event} */ e) => e.stopPropagation()} /></label>
      <label class="next-tick"><input type="checkbox" checked=${place.looks} onChange=${(/** @type {any} */ e) => set({ looks: e.currentTarget.checked })} />${p.looks(words(from))}</label>
      <label class="next-tick"><input type="checkbox" checked=${place.cues} data-test="next-cues" onChange=${(/** @type {any} */ e) => set({ cues: e.currentTarget.checked })} />${p.cues}</label>
      <p>${p.what}</p>
      ${refusal && html`<p role="alert" data-test="next-refused"><${Refused} refusal=${refusal} /></p>`}
      <button class="choice" data-test="next-make" aria-disabled=${String(!good)}>${p.make}</button>
    </form>
  `;
}
