// Photos of a take: small and dim, larger by a tap, and one more from the camera of
// the phone.
// Use: `<${Photos} take=${take} photos=${list} busy=${false} add=${fn} />`.

/** @import {Photo, Take} from './types' */

import { html, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { takeName } from '../hot/slate.js';

/** @param {{take: Take, photos: Photo[], busy: boolean, add: (file: Blob) => void}} props */
export function Photos({ take, photos, busy, add }) {
  const t = texts.takes;
  const [large, setLarge] = useState(0);
  /** @param {Event} e */
  const chosen = (e) => {
    const input = /** @type {HTMLInputElement} */ (e.currentTarget);
    const file = input.files?.[0];
    if (file) add(file);
    input.value = ''; // the same photo can be chosen again
  };
  return html`
    <div class="photos" data-test="photos">
      ${photos.map((p) => html`
        <button class="photo" key=${p.n} data-test="photo" data-large=${String(large === p.n)} aria-pressed=${String(large === p.n)} aria-label=${t.photoOf(p.n, takeName(take))} onClick=${() => setLarge(large === p.n ? 0 : p.n)}>
          <img src=${`/api/takes/${take.id}/photos/${p.n}`} width=${p.width} height=${p.height} alt="" loading="lazy" decoding="async" />
        </button>
      `)}
      <label class="photo-take">
        <input type="file" class="unseen" accept="image/jpeg,image/png" capture="environment" data-test="photo-file" onChange=${chosen} />
        <span>${busy ? t.photoSending : t.photoTake}</span>
      </label>
    </div>
  `;
}
