// What the status line stands for, in full: nodes, warnings, output, the
// location, dry run, and which side the small controls are on.
// Use: `<${Details} state=${state} verbs=${verbs} hand=${fn} keys=${fn} clicker=${fn} rehearse=${fn} script=${fn} close=${fn} />`.

/** @import {Live, Node, PageState, Warning} from '../types' */
/** @import {Verbs} from '../verbs.js' */

import { html } from '../vendor/htm-preact.js';
import { NAMES } from '../places/places.js';
import { placesOf, runs } from '../role.js';
import { mendedAt } from './mend.js';
import { Invite } from './invite.js';
import { Own } from './own.js';
import { Said } from '../parts/said.js';
import { Sheet } from '../parts/sheet.js';
import { NextPlace } from './next-place.js';
import { words } from '../format.js';
import { changes } from '../meter/words.js';
import { portNews } from '../network.js';
import { texts } from '../texts.js';
import { toldWord } from '../told.js';

/**
 * @param {{state: PageState, verbs: Verbs, hand: (side: 'left' | 'right') => void, keys: () => void, clicker: () => void, rehearse: () => void, script: () => void, close: () => void, theme: import('../theme.js').Wardrobe, go: (place: import('../types').Place) => void}} props
 */
export function Details({ state, verbs, hand, keys, clicker, rehearse, script, close, theme, go }) {
  const live = state.live;
  const d = texts.details;
  const able = runs(state.role);
  return html`
    <${Sheet} title=${d.title} close=${close} test="details">
      <h3>${d.warnings}</h3>
      ${live?.warnings?.length ? html`<ul>${live.warnings.map((w) => html`<${WarningLine} warning=${w} places=${placesOf(state.role, NAMES)} go=${go} />`)}</ul>` : html`<p>${d.noWarnings}</p>`}
      <${Show} live=${live} />
      <h3>${d.nodes}</h3>
      ${live?.nodes?.length ? html`<ul>${live.nodes.map((n) => html`<${NodeLine} node=${n} />`)}</ul>` : html`<p>${d.noNodes}</p>`}
      <${Output} live=${live} />
      ${able && html`
        <h3>${d.place}</h3>
        <${Places} state=${state} go=${verbs.location} />
        <${NextPlace} state=${state} go=${verbs.location} />
        <${SetUps} state=${state} go=${verbs.setup} />
        <h3>${d.dry}</h3>
        <button class="choice" data-test="dry" aria-pressed=${String(Boolean(live?.dry))} onClick=${() => verbs.dry(!live?.dry)}>
          ${live?.dry ? d.dryOn : d.dryOff}
        </button>
        <button class="choice" data-test="open-rehearse" onClick=${rehearse}>${d.rehearse}<small>${d.rehearseWhat}</small></button>
      `}
      <button class="choice" data-test="open-script" onClick=${script}>${d.script}<small>${d.scriptWhat}</small></button>
      ${live?.last && html`<p data-test="last">${d.last(live.last)}</p>`}
      <${Invite} role=${state.role} />
      <h3>${d.hand}</h3>
      <button class="choice" data-test="hand" onClick=${() => hand(state.hand === 'left' ? 'right' : 'left')}>
        ${state.hand === 'left' ? d.handRight : d.handLeft}
      </button>
      <${Own} theme=${theme} />
      ${able && html`
        <button class="choice" data-test="open-keys" onClick=${keys}>${d.keys}</button>
        <button class="choice" data-test="open-clicker" onClick=${clicker}>${texts.clicker.title}</button>
      `}
    <//>
  `;
}

/** @param {{live: Live | null}} props */
function Show({ live }) {
  const files = live?.files;
  if (!files) return null;
  const d = texts.details;
  return html`
    <h3>${d.show}</h3>
    <p data-test="show-files">${files.problems.length ? d.notTaken(files.problems.length) : d.taken(files)}</p>
    ${Boolean(live?.waiting) && html`<p data-test="show-waits">${d.waits(live?.waiting ?? 0)}</p>`}
  `;
}

/** @param {{node: Node}} props */
function NodeLine({ node }) {
  const d = texts.details;
  return html`
    <li data-test="node" data-lost=${String(node.lost)}>
      <b>${node.name}</b> ${node.ip}, ${d.ports((node.ports ?? []).join(', '))}${node.software && html`, ${d.software}`},
      ${node.lost ? html` <b>${d.lost}</b>` : ` ${d.seen}`} ${d.ago(node.last_seen_ms)}
      ${portNews(node).map((text) => html`<b class="node-news" data-test="node-news">${text}</b>`)}
      <small class="node-about">${d.about(node)}</small>
    </li>
  `;
}

/** @param {{warning: Warning, places: import('../types').Place[], go: (place: import('../types').Place) => void}} props */
function WarningLine({ warning, places, go }) {
  const place = mendedAt(warning.code, places);
  return html`
    <li data-test="warning">
      <div>${warning.where && html`<small>${toldWord(warning.where)} </small>`}<${Said} text=${warning.message} />
      ${warning.why && html`<small class="warning-why"><${Said} text=${warning.why} /></small>`}
      <${Said} text=${warning.mend} tag="i" /></div>
      ${place && html`<button class="choice" data-test="mend" onClick=${() => go(place)}>${texts.places[place]}<small>${texts.details.mend}</small></button>`}
    </li>
  `;
}

/** @param {{live: Live | null}} props */
function Output({ live }) {
  if (!live?.output) return null;
  return html`<h3>${texts.details.output}</h3><p>${texts.details.rate(live.output)}</p><p>${texts.details.late(live.output)}</p>`;
}

/** @param {{state: PageState, go: (name: string) => void}} props */
function Places({ state, go }) {
  const here = state.live?.location;
  return (state.plan?.locations ?? []).map((name) => html`
    <button class="choice" data-test=${`location-${name}`} aria-disabled=${String(name === here)} onClick=${() => name !== here && go(name)}>
      ${words(name)}<small>${name === here ? texts.details.here : texts.details.goTo}</small>
    </button>
  `);
}

/** The cameras that the set can be set up for. @param {{state: PageState, go: (name: string) => void}} props */
function SetUps({ state, go }) {
  const here = state.live?.setup;
  const all = state.plan?.setups ?? [];
  if (all.length < 2) return null;
  const groups = state.plan?.groups?.length ?? 0;
  return html`
    <h3>${texts.setup.title}</h3>
    ${all.map((s) => html`
      <button class="choice" data-test=${`set-up-${s.name}`} aria-disabled=${String(s.name === here)} onClick=${() => s.name !== here && go(s.name)}>
        ${words(s.name)}<small>${s.name === here ? texts.setup.here : changes(s, groups) || texts.setup.asWritten}</small>
      </button>
    `)}
  `;
}
