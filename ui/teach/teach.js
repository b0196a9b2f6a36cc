// One line at the pad's foot that leads through the first steps.
// Use: `<${Teach} state=${state} />`, in the zone of the pad.

/** @import {PageState} from '../types' */
/** @import {Lesson} from './lesson.js' */

import { html, useRef, useState } from '../vendor/htm-preact.js';
import { texts } from '../texts.js';
import { createLesson, STEPS, teaches } from './lesson.js';

/** @param {{state: PageState}} props */
export function Teach({ state }) {
  const kept = useRef(/** @type {Lesson | null} */ (null));
  const [, again] = useState(0);
  const lesson = (kept.current ??= createLesson(localStorage));
  lesson.heard(state.live);
  const step = lesson.step();
  if (step === null || !teaches(state.live) || state.panel || state.place !== 'set') return null;
  const t = texts.teach;
  const done = step === STEPS.length;
  function leave() {
    lesson.end();
    again((n) => n + 1);
  }
  return html`
    <aside class="teach" aria-label=${t.label} data-test="teach" data-step=${done ? 'done' : STEPS[step][0]}>
      <p role="status"><small>${done ? '' : t.count(step + 1, STEPS.length)}</small>${' '}${t.step[done ? 'done' : STEPS[step][0]]}</p>
      <button data-test="teach-skip" onClick=${leave}>${done ? t.close : t.skip}</button>
    </aside>
  `;
}
