// The whole page from the one state object.

/** @import {Store} from './state.js' */
/** @import {Verbs} from './verbs.js' */
/** @import {Kill} from './keys.js' */
/** @import {Shown, ShownSeen} from './light/feed.js' */
/** @import {Eye} from './camera/eye.js' */
/** @import {ClickerAction, PageState} from './types' */
/** @import {Rehearsal} from './rehearse/rehearsal.js' */

import { html, useEffect, useState } from './vendor/htm-preact.js';
import { ClickerSheet } from './details/clicker-sheet.js';
import { Details } from './details/details.js';
import { KeysSheet } from './details/keys-sheet.js';
import { Foot } from './foot/foot.js';
import { Pad } from './pad/pad.js';
import { en } from './en.js';
import { Sheet } from './parts/sheet.js';
import { Picture } from './picture/picture.js';
import { Rehearse } from './rehearse/rehearse.js';
import { Side } from './side/side.js';
import { Status } from './status/status.js';
import { Strip } from './strip/strip.js';

/** @param {{store: Store, verbs: Verbs, kill: Kill, feed: Shown, seen: ShownSeen, eye: Eye, rehearsal: Rehearsal, hand: (side: 'left' | 'right') => void, teach: (action: ClickerAction, key: string) => void}} props */
export function App({ store, verbs, kill, feed, seen, eye, rehearsal, hand, teach }) {
  const [state, setState] = useState(store.get());
  useEffect(() => store.subscribe(setState), [store]);
  const close = () => store.update({ panel: null, learning: null });
  const takes = () => store.update({ panel: 'takes' });
  return html`
    <main class="page" data-hand=${state.hand} data-hot=${String(Boolean(state.live?.hot))} onMouseDown=${keepFocus}>
      <${Status} state=${state} open=${() => store.update({ panel: state.panel === 'details' ? null : 'details' })} take=${verbs.take} slate=${takes} />
      <${Picture} state=${state} feed=${feed} seen=${seen} camera=${eye.camera} />
      ${state.panel === 'rehearse'
        ? html`<${Rehearse} state=${state} rehearsal=${rehearsal} verbs=${verbs} />`
        : html`<${Strip} state=${state} camera=${eye.camera} standby=${verbs.standby} />`}
      <div class="padzone">
        <${Pad} state=${state} verbs=${verbs} />
        <${Side} state=${state} verbs=${verbs} />
      </div>
      <${Foot} state=${state} verbs=${verbs} kill=${kill} />
      ${state.panel === 'details' && html`
        <${Details} state=${state} verbs=${verbs} hand=${hand} keys=${() => store.update({ panel: 'keys' })} clicker=${() => store.update({ panel: 'clicker' })} takes=${takes} rehearse=${rehearsal.open} close=${close} />
      `}
      ${state.panel === 'takes' && html`<${TakesSheet} state=${state} verbs=${verbs} store=${store} close=${close} />`}
      ${state.panel === 'clicker' && html`
        <${ClickerSheet} state=${state} learn=${(/** @type {ClickerAction | null} */ learning) => store.update({ learning })} forget=${(/** @type {ClickerAction} */ action) => teach(action, '')} close=${close} />
      `}
      ${state.panel === 'keys' && html`<${KeysSheet} close=${close} />`}
      <p class="unseen" role="status" aria-live="polite" data-test="said">${state.said}</p>
    </main>
  `;
}

/** The takes over picture and strip, fetched when they are first opened. @param {{state: PageState, verbs: Verbs, store: Store, close: () => void}} props */
function TakesSheet({ state, verbs, store, close }) {
  const [Takes, setTakes] = useState(/** @type {any} */ (null));
  useEffect(() => {
    import('./takes/takes.js').then((m) => setTakes(() => m.Takes));
  }, []);
  return html`
    <${Sheet} title=${en.takes.title} close=${close} test="takes-sheet">
      ${Takes && html`<${Takes} state=${state} verbs=${verbs} store=${store} />`}
    <//>
  `;
}

/**
 * A press by pointer leaves the focus where it was, so that the space bar
 * goes on meaning run and not the button touched last.
 *
 * @param {MouseEvent} e
 */
function keepFocus(e) {
  if (e.target instanceof Element && e.target.closest('button, [role="slider"]')) e.preventDefault();
}
