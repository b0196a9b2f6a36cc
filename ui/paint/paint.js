// Painting a look: choose cells, choose what they wear, see it, save it.
// Use: `<${Paint} state=${state} look=${look} update=${fn} />`.

/** @import {PageState, SeenFrame} from '../types' */
/** @import {Look} from '../light/blind.js' */
/** @import {Studio} from './studio.js' */

import { html, useEffect, useMemo, useState } from '../vendor/htm-preact.js';
import { createFeed } from '../light/feed.js';
import { getJSON, postJSON } from '../ask.js';
import { words } from '../format.js';
import { Refused, Said } from '../parts/said.js';
import { texts } from '../texts.js';
import { told } from '../told.js';
import { planckian, uvText, whiteText } from './chart.js';
import { Chooser } from './choose.js';
import { UVMap } from './map.js';
import { everyOther, half, membersText } from './model.js';
import { Patterns } from './patterns.js';
import { LevelSlider } from './slider.js';
import { createStudio, emptyStudio } from './studio.js';
import { Cast, Places, placeOf, whiteOf } from './wear.js';
import { WhiteStrip } from './white.js';

/** Numbers pictures of what is painted, so that a new one is known. */
let frames = 0;

/** What a level says when a group has none. */
const NO_LEVEL = '40%';

/** @param {{state: PageState, look: Look, update: (change: Partial<PageState>) => void}} props */
export function Paint({ state, look, update }) {
  const { plan, live } = state;
  const [s, tell] = useState(emptyStudio());
  const [tab, setTab] = useState(/** @type {'cast' | 'map' | 'white'} */ ('cast'));
  const shows = state.view;
  const here = useMemo(() => ({ plan }), []);
  here.plan = plan;
  const studio = useMemo(() => createStudio({
    plan: () => here.plan, get: getJSON, post: postJSON, tell, frame: (run) => void requestAnimationFrame(run),
  }), []);
  const feed = useMemo(() => createFeed(), []);

  // A take that is on the set again is no look of the show.
  const onSet = plan?.looks?.find((l) => l.name === live?.look);
  const name = s.name || onSet?.name || plan?.looks?.[0]?.name || '';
  useEffect(() => {
    if (name && name !== s.name) void studio.open(name);
  }, [name]);
  useEffect(() => void studio.reload(), [plan?.revision]);
  useEffect(() => {
    if (!plan) return;
    const xyz = s.tried?.xyz ? Float32Array.from(s.tried.xyz) : state.looks[name];
    const rgb = s.tried?.rgb ? Float32Array.from(s.tried.rgb) : state.seen[name];
    const head = { revision: plan.revision, frame: 0 };
    const cells = xyz ? { ...head, count: xyz.length / 3, xyz } : null;
    if (cells) feed.put(cells);
    look.put(cells, rgb ? /** @type {SeenFrame} */ ({ ...head, frame: ++frames, count: rgb.length / 3, rgb }) : null);
  }, [plan, s.tried, state.looks[name], state.seen[name]]);
  const apart = !s.live && (s.strokes.size > 0 || name !== live?.look);
  useEffect(() => look.turn(apart), [apart]);
  useEffect(() => () => look.turn(false), []);

  if (!plan) return html`<section class="paint" data-test="paint"><p class="paint-empty">${texts.picture.waiting}</p></section>`;
  const report = s.tried?.paint ?? s.look;
  const balance = plan.balance;
  const text = s.stroke.colours[s.hand] ?? '';
  const white = whiteOf(text) ?? { kelvin: 4300, tint: 0 };
  const at = (s.look && placeOf(text, s.look)) ?? planckian(white.kelvin);
  const groups = (plan.groups ?? []).filter((g) => g.cells.length > 0);

  return html`
    <section class="paint" data-test="paint">
      <div class="paint-picture">
        <${Chooser} plan=${plan} feed=${feed} chosen=${s.chosen} choose=${studio.choose} />
      </div>
      <div class="paint-tools">
        <div class="paint-row">
          <label class="paint-look">${texts.paint.look}
            <select data-test="paint-look" onChange=${(/** @type {any} */ e) => void studio.open(e.currentTarget.value)}>
              ${(plan.looks ?? []).map((l) => html`<option value=${l.name} selected=${l.name === name}>${words(l.name)}</option>`)}
            </select>
          </label>
          <button class="view" data-test="paint-shows" aria-pressed=${String(shows === 'camera')} onClick=${() => update({ view: shows === 'plan' ? 'camera' : 'plan' })}>${texts.paint.camera}</button>
          <button class="view" data-test="paint-live" aria-pressed=${String(s.live)} onClick=${() => studio.live(!s.live)}>${s.live ? texts.paint.live : texts.paint.blind}</button>
        </div>
        <div class="chips" role="group" aria-label=${texts.paint.groups}>
          ${groups.map((g) => html`
            <button class="chip" data-test=${`group-${g.name}`} aria-pressed=${String(s.group === g.name)} onClick=${() => studio.choose(g.cells, g.name)}>${words(g.name)}</button>
          `)}
        </div>
        ${s.chosen.length > 0 && html`
          <div class="chips">
            <span class="paint-count" data-test="chosen">${texts.paint.chosen(s.chosen.length)}</span>
            <button class="chip" data-test="every-other" onClick=${() => studio.choose(everyOther(s.chosen))}>${texts.paint.everyOther}</button>
            <button class="chip" data-test="half-first" onClick=${() => studio.choose(half(s.chosen, 'first'))}>${texts.paint.firstHalf}</button>
            <button class="chip" data-test="half-second" onClick=${() => studio.choose(half(s.chosen, 'second'))}>${texts.paint.secondHalf}</button>
            <button class="chip" onClick=${() => studio.choose([])}>${texts.paint.none}</button>
          </div>
        `}
        ${s.chosen.length > 0 && !s.group && html`<${NewGroup} members=${membersText(s.chosen, plan)} taken=${groups.map((g) => g.name)} make=${studio.name} />`}
        ${s.group && html`
          <${Patterns} pattern=${s.stroke.pattern} pick=${studio.pattern} />
          <${Places} stroke=${s.stroke} hand=${s.hand} take=${studio.take} more=${studio.more} less=${studio.fewer} />
          <div class="tabs" role="tablist">
            ${(/** @type {const} */ (['cast', 'map', 'white'])).map((t) => html`
              <button class="view" role="tab" aria-selected=${String(t === tab)} aria-pressed=${String(t === tab)} data-test=${`tab-${t}`} onClick=${() => setTab(t)}>${texts.paint.tab[t]}</button>
            `)}
          </div>
          ${tab === 'cast' && s.look && html`<${Cast} look=${s.look} balance=${balance} text=${text} pick=${studio.colour} />`}
          ${tab === 'map' && html`
            <${UVMap} reach=${s.reach} balance=${balance} at=${at} pick=${(/** @type {[number, number]} */ uv) => studio.colour(uvText(uv))}
              asked=${(report?.misses ?? []).map((m) => m.asked)} reached=${(report?.misses ?? []).map((m) => m.reached)} />
          `}
          ${tab === 'white' && html`<${WhiteStrip} kelvin=${white.kelvin} tint=${white.tint} balance=${balance} pick=${(/** @type {number} */ k, /** @type {number} */ t) => studio.colour(whiteText(k, t))} />`}
          <${LevelSlider} text=${s.stroke.level || NO_LEVEL} groups=${groups.map((g) => g.name).filter((g) => g !== s.group)} marks=${(plan.marks ?? []).filter((m) => m.points.length === 1).map((m) => m.name)} pick=${studio.level} />
        `}
        ${!s.chosen.length && html`<p class="paint-empty">${texts.paint.begin}</p>`}
        <${Answer} studio=${s} report=${report} />
        <div class="paint-row paint-save">
          <button class="choice" data-test="undo" onClick=${() => studio.step('undo')}>${texts.paint.undo}</button>
          <button class="choice" data-test="redo" onClick=${() => studio.step('redo')}>${texts.paint.redo}</button>
          <button class="choice" data-test="drop" aria-disabled=${String(s.strokes.size === 0)} onClick=${studio.drop}>${texts.paint.drop}</button>
          <button class="choice" data-test="save" aria-disabled=${String(s.strokes.size === 0 || s.busy)} onClick=${() => studio.save(live?.edits?.revision ?? 0)}>
            ${s.changes ? texts.paint.write : texts.paint.save(s.strokes.size)}
          </button>
        </div>
        ${s.look && s.look.location === '' && html`
          <label class="paint-here"><input type="checkbox" checked=${s.here} data-test="here" onChange=${(/** @type {any} */ e) => studio.here(e.currentTarget.checked)} />${texts.paint.here(words(plan.location))}</label>
        `}
      </div>
    </section>
  `;
}

/** What the daemon says to it. @param {{studio: Studio, report: import('../types').LookPaint | null}} props */
function Answer({ studio, report }) {
  const p = texts.paint;
  const misses = report?.misses ?? [];
  const off = (report?.levels ?? []).filter((l) => Math.abs(l.off_stops) >= 0.05);
  return html`
    <div class="paint-answer" aria-live="polite" data-test="paint-answer">
      ${studio.refusal && html`<p class="paint-refused" data-test="paint-refused"><${Refused} refusal=${studio.refusal} /></p>`}
      ${studio.tried?.why && html`<p data-test="paint-not-live">${p.notLive(told(studio.tried.why).text)}</p>`}
      ${studio.changes && html`
        <h4>${p.changes}</h4>
        <ul data-test="changes">${studio.changes.map((c) => html`<${Said} text=${c} tag="li" />`)}</ul>
        ${studio.looks.length > 0 && html`<h4>${p.looks}</h4><ul data-test="changed-looks">${studio.looks.map((l) => html`<${Said} text=${l} tag="li" />`)}</ul>`}
      `}
      ${misses.length > 0 && html`<p data-test="misses">${p.misses(misses)}</p>`}
      ${off.map((l) => html`<p>${p.off(l)}</p>`)}
    </div>
  `;
}

/** @param {{members: string, taken: string[], make: (name: string) => void}} props */
function NewGroup({ members, taken, make }) {
  const [name, setName] = useState('');
  const good = /^[a-z][a-z0-9-]*$/.test(name) && !taken.includes(name);
  return html`
    <form class="paint-row" onSubmit=${(/** @type {Event} */ e) => { e.preventDefault(); if (good) make(name); }}>
      <label class="paint-look">${texts.paint.newGroup}
        <input value=${name} data-test="group-name" autocomplete="off" autocapitalize="none" spellcheck="false" onInput=${(/** @type {any} */ e) => setName(e.currentTarget.value)} onKeyDown=${(/** @type {Event} */ e) => e.stopPropagation()} />
      </label>
      <button class="choice" data-test="group-make" aria-disabled=${String(!good)}>${texts.paint.make}</button>
      <small class="paint-members">${members}</small>
    </form>
  `;
}
