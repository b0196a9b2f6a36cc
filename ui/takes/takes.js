// The takes: the slate with roll and cut, and every take that was shot, to be read,
// put right, compared with the set and put back on it.
// Use: `<${Takes} state=${state} verbs=${verbs} update=${fn} />`.

/** @import {PageState} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html, useEffect, useMemo, useState } from '../vendor/htm-preact.js';
import { getJSON, sendFile } from '../ask.js';
import { Refused } from '../parts/said.js';
import { texts } from '../texts.js';
import { createBook, emptyBook } from './book.js';
import { TakeList } from './list.js';
import { SlateBoard } from './slate-board.js';
import { OpenTake } from './open-take.js';

/** @param {{state: PageState, verbs: Verbs, update: (change: Partial<PageState>) => void}} props */
export function Takes({ state, verbs, update }) {
  const [b, tell] = useState(emptyBook());
  const book = useMemo(() => createBook({ get: getJSON, send: sendFile, tell }), []);
  const { live } = state;
  const here = Boolean(live?.next_take);
  // Whoever rolls, cuts or writes a note, on whatever phone, changes one of these.
  const news = JSON.stringify([live?.take, live?.last_take].map((t) => t && { ...t, running_ms: 0 }));
  useEffect(() => {
    if (here && state.link.phase === 'up') void book.refresh();
  }, [here, news, state.link.phase]);

  if (!live) return html`<section class="takes" data-test="takes"><p class="takes-says">${texts.picture.waiting}</p></section>`;
  if (!here) return html`<section class="takes" data-test="takes"><p class="takes-says">${texts.takes.none}</p></section>`;
  const refusal = b.refusal ?? state.refusal;
  return html`
    <section class="takes" data-test="takes" data-hot=${String(live.hot)} aria-busy=${String(b.busy !== '')}>
      ${refusal && html`<p class="takes-refused" role="alert" data-test="takes-refused"><${Refused} refusal=${refusal} /></p>`}
      ${b.open
        ? html`<${OpenTake} state=${state} book=${book} b=${b} verbs=${verbs} />`
        : html`
          <${SlateBoard} state=${state} verbs=${verbs} update=${update} book=${book} />
          <${TakeList} state=${state} book=${book} b=${b} verbs=${verbs} />
        `}
    </section>
  `;
}
