// The places of the page: the set, and beside or over it one of the others,
// which are fetched when they are first gone to.
// Use: `<${PlaceNames} state=${state} go=${fn} />`, `<${PlaceRoom} state=${state} room=${props} />`.

/** @import {PageState, Place} from '../types' */

import { html, useEffect, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { HotNote } from '../hot/note.js';
import { placesOf } from '../role.js';

/** How each place is fetched; what it gives draws it. @type {Record<Exclude<Place, 'set'>, () => Promise<any>>} */
const ROOMS = {
  paint: async () => (await import('../paint/paint.js')).Paint,
  rig: async () => (await import('../rig/rig.js')).Rig,
  takes: async () => (await import('../takes/takes.js')).Takes,
};
export const NAMES = /** @type {Place[]} */ (['set', ...Object.keys(ROOMS)]);

/** @param {{state: PageState, go: (place: Place) => void}} props */
export function PlaceNames({ state, go }) {
  const names = placesOf(state.role, NAMES);
  if (names.length < 2) return null;
  return html`
    <nav class="places" aria-label=${texts.places.label}>
      ${names.map((name) => html`
        <button class="place" data-test=${`place-${name}`} aria-current=${state.place === name ? 'page' : undefined} onClick=${() => go(name)}>${texts.places[name]}</button>
      `)}
    </nav>
  `;
}

/** @param {{state: PageState, room: Record<string, any>}} props what the rooms are given */
export function PlaceRoom({ state, room }) {
  const [rooms, setRooms] = useState(/** @type {Record<string, any>} */ ({}));
  const name = state.place;
  const Room = rooms[name];
  useEffect(() => {
    if (name === 'set' || Room) return;
    void ROOMS[name]().then((found) => setRooms((all) => ({ ...all, [name]: found })));
  }, [name]);
  if (name === 'set') return null;
  return html`
    <section class="room" data-test=${`room-${name}`} aria-label=${texts.places[name]}>
      <h2 class="unseen">${texts.places[name]}</h2>
      <${HotNote} state=${state} />
      ${Room ? html`<${Room} state=${state} ...${room} />` : html`<p class="room-coming">${texts.places.loading}</p>`}
    </section>
  `;
}
