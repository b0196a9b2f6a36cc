// The cue sheet in time, as the daemon lays it out, with the places that were
// marked in music put in.

/** @import {LaidCue, Timeline} from '../types' */

/**
 * Cues where they begin and end, ms from the start. A mark moves its cue there,
 * and with it those that follow until the next mark.
 *
 * @param {Timeline} timeline
 * @param {Record<number, number>} marks ms, by cue number
 * @returns {LaidCue[]}
 */
export function lay(timeline, marks = {}) {
  let moved = 0;
  return timeline.cues.map((c) => {
    const marked = c.waits !== 'follow' && marks[c.cue] !== undefined;
    if (marked) moved = marks[c.cue] - c.start_ms;
    return {
      cue: c.cue, look: c.look, from: c.from, waits: c.waits, marked,
      start: c.start_ms + moved, delay: c.delay_ms, end: c.end_ms + moved,
    };
  });
}

/** When all have ended, ms. @param {LaidCue[]} cues */
export const endOf = (cues) => cues.reduce((end, c) => Math.max(end, c.end), 0);

/**
 * The cue that is on at a time, and the share of it that has gone; before the
 * first cue, its beginning. Null on an empty sheet.
 *
 * @param {LaidCue[]} cues
 * @param {number} ms
 */
export function moment(cues, ms) {
  if (cues.length === 0) return null;
  let on = cues[0];
  for (const c of cues) if (c.start <= ms && c.start >= on.start) on = c;
  const length = on.end - on.start;
  const at = length > 0 ? Math.min(1, Math.max(0, (ms - on.start) / length)) : Number(ms >= on.start);
  return { cue: on.cue, look: on.look, at };
}
