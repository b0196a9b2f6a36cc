// States of the daemon and the page for tests.

import { emptyState } from '../../state.js';

export function live(more = {}) {
  return {
    show: 'tidewater', title: 'Tidewater', location: 'deep-end', setup: 'wide', look: 'warden',
    standby: { cue: 3, look: 'tide', fade_ms: 4000, note: 'she surfaces' }, fade: null, held: false, moving: false, killed: false,
    worklight: false, pointing: null, dry: false, hot: false, overall: 1, can_back: null, follow: null, counting: null, tempo: { bpm: 120, beats_per_bar: 4, source: 'show' }, last: null, timecode: { running: false, source: '', at: '', offset: '', next: null }, nodes: [],
    output: { frames: 0, rate: 44, late_us_p50: 0, late_us_p99: 0, late_us_max: 0, first_us_p99: 0, skipped: 0, skipped_minute: 0, universes: 4, send_errors: 0 }, warnings: [], revision: 1, ...more,
  };
}

export function fade(more = {}) {
  return { from: 'warden', to: 'tide', progress: 0.25, remaining_ms: 3000, total_ms: 4000, ...more };
}

export function plan() {
  const cue = (n, look) => ({ cue: n, look, fade_ms: 4000, delay_ms: 0, after_ms: null, timecode: '', dark: false, path: 'short', note: '', fade_text: '4 s' });
  return { revision: 1, location: 'deep-end', looks: [], cues: [cue(1, 'house'), cue(2, 'warden'), cue(3, 'tide'), cue(4, 'warden')] };
}

/** The page's state with the link up. */
export function page(more = {}) {
  return { ...emptyState(), link: { phase: 'up', ms: 5 }, live: live(), plan: plan(), ...more };
}
