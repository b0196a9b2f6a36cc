// The whole page from the one state object.

/** @import {Store} from './state.js' */
/** @import {Verbs} from './verbs.js' */
/** @import {Kill} from './keys.js' */
/** @import {Shown, ShownSeen} from './light/feed.js' */
/** @import {Eye} from './camera/eye.js' */
/** @import {Look} from './light/blind.js' */
/** @import {ClickerAction, Place} from './types' */
/** @import {Rehearsal} from './rehearse/rehearsal.js' */

import { html, useEffect, useState } from './vendor/htm-preact.js';
import { ClickerSheet } from './details/clicker-sheet.js';
import { Details } from './details/details.js';
import { KeysSheet } from './details/keys-sheet.js';
import { texts } from './texts.js';
import { Foot } from './foot/foot.js';
import { TakeCorner } from './hot/corner.js';
import { runs } from './role.js';
import { MeterSheet } from './meter/meter.js';
import { Pad } from './pad/pad.js';
import { Picture } from './picture/picture.js';
import { PlaceNames, PlaceRoom } from './places/places.js';
import { Rehearse } from './rehearse/rehearse.js';
import { ScriptSheet } from './script/script.js';
import { Side } from './side/side.js';
import { Status } from './status/status.js';
import { Strip } from './strip/strip.js';
import { Teach } from './teach/teach.js';

/** @param {{store: Store, verbs: Verbs, kill: Kill, feed: Shown, seen: ShownSeen, eye: Eye, rehearsal: Rehearsal, look: Look, hand: (side: 'left' | 'right') => void, theme: import('./theme.js').Wardrobe, teach: (action: ClickerAction, key: string) => void}} props */
export function App({ store, verbs, kill, feed, seen, eye, rehearsal, look, hand, theme, teach }) {
  const [state, setState] = useState(store.get());
  useEffect(() => store.subscribe(setState), [store]);
  const close = () => store.update({ panel: null, learning: null });
  const go = (/** @type {Place} */ place) => store.update({ place, panel: null });
  const takes = () => go('takes');
  const able = runs(state.role);
  return html`
    <main class="page" data-hand=${state.hand} data-place=${state.place} data-view=${state.view} data-hot=${String(Boolean(state.live?.hot))} data-runs=${String(able)} onMouseDown=${keepFocus}>
      <h1 class="unseen">${texts.title}</h1>
      <${Status} state=${state} open=${() => store.update({ panel: state.panel === 'details' ? null : 'details' })} />
      <${PlaceNames} state=${state} go=${go} />
      <${TakeCorner} state=${state} act=${able ? verbs.take : null} slate=${takes} />
      <${Picture} state=${state} feed=${feed} seen=${seen} camera=${eye.camera} setUp=${able ? verbs.setup : null} meter=${() => store.update({ panel: 'meter' })} />
      ${state.panel === 'rehearse'
        ? html`<${Rehearse} state=${state} rehearsal=${rehearsal} verbs=${verbs} />`
        : html`<${Strip} state=${state} standby=${able ? verbs.standby : null} />`}
      <${PlaceRoom} state=${state} room=${{ verbs, feed, look, update: store.update }} />
      <div class="padzone">
        <${Pad} state=${state} verbs=${verbs} />
        ${able && html`<${Side} state=${state} verbs=${verbs} /><${Teach} state=${state} />`}
      </div>
      <${Foot} state=${state} verbs=${verbs} kill=${kill} />
      ${state.panel === 'details' && html`
        <${Details} state=${state} verbs=${verbs} hand=${hand} keys=${() => store.update({ panel: 'keys' })} clicker=${() => store.update({ panel: 'clicker' })} rehearse=${rehearsal.open} script=${() => store.update({ panel: 'script' })} close=${close} theme=${theme} go=${go} />
      `}
      ${state.panel === 'clicker' && html`
        <${ClickerSheet} state=${state} learn=${(/** @type {ClickerAction | null} */ learning) => store.update({ learning })} forget=${(/** @type {ClickerAction} */ action) => teach(action, '')} close=${close} />
      `}
      ${state.panel === 'meter' && html`<${MeterSheet} state=${state} close=${close} />`}
      ${state.panel === 'script' && html`<${ScriptSheet} state=${state} close=${close} />`}
      ${state.panel === 'keys' && html`<${KeysSheet} close=${close} />`}
      <p class="unseen" role="status" aria-live="polite" data-test="said">${state.said}</p>
    </main>
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
