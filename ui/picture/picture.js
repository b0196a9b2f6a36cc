// The live picture: what the camera of a set-up sees, once the light of the
// location is computed; until then, and where the device cannot draw it, the
// plan from above.
// Use: `<${Picture} state=${state} feed=${feed} seen=${feed} camera=${camera} setUp=${fn} meter=${fn} />`.

/** @import {PageState} from '../types' */
/** @import {Shown, ShownSeen} from '../light/feed.js' */
/** @import {Camera} from '../camera/style.js' */

import { html, useEffect, useMemo, useRef, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { told } from '../told.js';
import { Choices } from './choices.js';
import { useHaze } from './haze.js';
import { PlanPicture } from './plan.js';
import { Shooting } from './shooting.js';
import { Shot } from './shot.js';
import { Figures, inShot, onPlan } from '../rehearse/figures.js';

/** How bright the picture shines on a hot set, linear light. */
const HOT_MOST = 0.35;
/** What a mist filter of usual strength spreads. */
const GLOW = 0.12;

/**
 * @param {{state: PageState, feed: Shown, seen: ShownSeen, camera: Camera | null, setUp: ((name: string) => void) | null, meter: () => void}} props
 */
export function Picture({ state, feed, seen, camera, setUp, meter }) {
  const { plan, live, lit } = state;
  const stale = state.link.phase === 'lost';
  const [chosen, setChosen] = useState({ plan: false, setup: '', bands: false, glow: false, haze: 0 });
  const setups = lit?.scene.setups ?? [];
  const ready = Boolean(lit && setups.length && plan?.revision === lit.revision && camera);
  const shown = ready && !chosen.plan;
  const setup = Math.max(0, setups.findIndex((s) => s.name === (chosen.setup || live?.setup)));
  // Who sets up another camera wants to see through it.
  useEffect(() => setChosen((c) => ({ ...c, setup: '' })), [live?.setup, plan?.location]);
  const most = live?.hot ? HOT_MOST : 1;
  const haze = useHaze({ camera, lit: shown ? lit : null, setup, share: chosen.haze });
  const style = useMemo(
    () => ({ bands: chosen.bands, glow: chosen.glow ? GLOW : 0, haze: haze.ready, most }),
    [chosen.bands, chosen.glow, haze.ready, most],
  );
  const view = useRef(/** @type {HTMLElement | null} */ (null));
  const walks = state.panel === 'rehearse' ? state.rehearsal.timeline?.walks ?? [] : [];
  const figures = () => {
    if (!walks.length || !plan) return null;
    const room = view.current;
    const place = shown && lit ? inShot(setups[setup], lit.scene.aspect) : onPlan(plan, room ? room.clientWidth / room.clientHeight : 1);
    return html`<${Figures} walks=${walks} at=${state.rehearsal.at} place=${place} />`;
  };
  const label = !plan ? texts.picture.waiting
    : shown ? texts.picture.shot(plan.location, live?.look ?? '', setups[setup].name)
      : texts.picture.label(plan.location, live?.look ?? '');

  return html`
    <figure class=${stale ? 'picture picture-stale' : 'picture'} data-test="picture" data-stale=${String(stale)} data-shows=${shown ? 'camera' : 'plan'} data-light=${lit?.hash ?? ''}>
      <div ref=${view} class=${shown ? 'picture-view picture-camera' : 'picture-view'}>
        ${shown && lit && camera
          ? html`<${Shot} lit=${lit} camera=${camera} feed=${seen} setup=${setup} style=${style} label=${label} over=${figures()} />`
          : html`<${PlanPicture} plan=${plan} feed=${feed} label=${label} />${figures()}`}
        ${!plan && html`<figcaption class="picture-empty">${texts.picture.waiting}</figcaption>`}
        ${plan && !plan.lamps?.length && html`<figcaption class="picture-empty">${texts.picture.noLamps}</figcaption>`}
        ${(state.rehearsal.blind || state.trying) && !stale && plan && html`<figcaption class="picture-note" data-test="blind">${state.trying ? texts.picture.trying : texts.picture.blind}</figcaption>`}
        ${shown && chosen.haze > 0 && !state.rehearsal.blind && !state.trying && !stale && html`<figcaption class="picture-note" data-test="haze">${haze.refusal ? texts.picture.noHaze(told(haze.refusal.message).text) : haze.ready ? texts.picture.hazy(chosen.haze) : texts.picture.hazeComes}</figcaption>`}
        ${stale && plan && html`<figcaption class="picture-note">${texts.picture.stale}</figcaption>`}
      </div>
      ${plan && shown && html`<${Shooting} plan=${plan} live=${live} view=${setups[setup].name} choose=${setUp} />`}
      ${plan && html`
        <div class="picture-foot">
          ${ready
            ? html`<${Choices} setups=${setups} setup=${setup} chosen=${chosen} choose=${setChosen} />`
            : html`<p class="picture-why" data-test="picture-why">${state.unable ? texts.picture.cannot(state.unable) : texts.picture.until(live?.light?.stage ?? '', setups.length)}</p>`}
          <button class="view picture-meter" data-test="open-meter" onClick=${meter}>${texts.meter.open}</button>
        </div>
      `}
    </figure>
  `;
}
