// The clock of the take that rolls. States of the daemon are late by the way they
// come, never early: the earliest begin that one of them tells is the nearest.
// Use: `<${TakeClock} take=${live.take} />`.

/** @import {TakeMark} from '../types' */

import { html, useEffect, useRef, useState } from '../vendor/htm-preact.js';
import { clockText } from './slate.js';

/** How often it is drawn, ms. */
const EVERY_MS = 200;

/** @param {{take: TakeMark}} props */
export function TakeClock({ take }) {
  const begun = useRef({ id: 0, at: 0 });
  const [, draw] = useState(0);
  const at = performance.now() - take.running_ms;
  if (begun.current.id !== take.id || at < begun.current.at) begun.current = { id: take.id, at };
  useEffect(() => {
    const timer = setInterval(() => draw((n) => n + 1), EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  return html`<span class="take-clock" data-test="take-clock">${clockText(performance.now() - begun.current.at)}</span>`;
}
