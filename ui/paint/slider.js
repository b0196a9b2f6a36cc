// The level: in percent, in stops, in stops under a group at a mark, or in lux
// there.
// Use: `<${LevelSlider} text="40%" groups=${[]} marks=${[]} pick=${fn} />`.

/** @import {Level} from './level.js' */

import { html } from '../vendor/htm-preact.js';
import { words } from '../format.js';
import { texts } from '../texts.js';
import { RANGES, levelText, parseLevel, sliderOf, valueAt } from './level.js';

/** What a kind starts at when it is chosen. @type {Record<Level['kind'], number>} */
const FIRST = { share: 40, stops: -1.5, under: -2, lux: 60 };
const KINDS = /** @type {const} */ (['share', 'stops', 'under', 'lux']);

/** @param {{text: string, groups: string[], marks: string[], pick: (text: string) => void}} props */
export function LevelSlider({ text, groups, marks, pick }) {
  const level = parseLevel(text);
  /** @param {Partial<Level>} change */
  const set = (change) => pick(levelText({ ...level, ...change }));
  /** @param {Level['kind']} kind */
  const kindOf = (kind) => {
    const key = groups.includes('key') ? 'key' : groups[0] ?? '';
    set({ kind, value: FIRST[kind], group: level.group || key, mark: level.mark || marks[0] || '' });
  };
  const can = (/** @type {Level['kind']} */ kind) => (kind === 'share' || kind === 'stops' || marks.length > 0) && (kind !== 'under' || groups.length > 0);
  const range = RANGES[level.kind];
  return html`
    <div class="level">
      <label class="level-line">
        <span class="level-says" data-test="level">${texts.paint.level(level.kind, level.value)}</span>
        <input
          type="range" min="0" max="1" step="0.002" value=${sliderOf(level)} data-test="level-slider" aria-label=${texts.paint.levelLabel}
          aria-valuetext=${text} onInput=${(/** @type {any} */ e) => set({ value: valueAt(level.kind, Number(e.currentTarget.value)) })}
        />
      </label>
      <div class="level-kinds" role="group" aria-label=${texts.paint.levelKinds}>
        <button class="small" onClick=${() => set({ value: Math.max(range.least, level.value - range.step) })} aria-label=${texts.paint.darker}>−</button>
        <button class="small" onClick=${() => set({ value: Math.min(range.most, level.value + range.step) })} aria-label=${texts.paint.brighter}>+</button>
        ${KINDS.filter(can).map((k) => html`
          <button class="view" data-test=${`level-${k}`} aria-pressed=${String(k === level.kind)} onClick=${() => k !== level.kind && kindOf(k)}>${texts.paint.kind[k]}</button>
        `)}
      </div>
      ${(level.kind === 'under' || level.kind === 'lux') && html`
        <div class="level-where">
          ${level.kind === 'under' && html`<${Pick} says=${texts.paint.under} of=${groups} at=${level.group} pick=${(/** @type {string} */ group) => set({ group })} />`}
          <${Pick} says=${texts.paint.at} of=${marks} at=${level.mark} pick=${(/** @type {string} */ mark) => set({ mark })} />
        </div>
      `}
    </div>
  `;
}

/** @param {{says: string, of: string[], at: string, pick: (name: string) => void}} props */
function Pick({ says, of, at, pick }) {
  return html`
    <label>${says}
      <select value=${at} onChange=${(/** @type {any} */ e) => pick(e.currentTarget.value)}>
        ${of.map((name) => html`<option value=${name} selected=${name === at}>${words(name)}</option>`)}
      </select>
    </label>
  `;
}
