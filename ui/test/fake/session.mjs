// What runs in the fake daemon: enough of the verbs to work the page by hand.
// Light is mixed straight between looks; there are no lamps.

import { cellsOf, lookNames, planOf } from './rig.mjs';

const SNAP_BACK_MS = 1000;

export class FakeSession {
  #changed;
  constructor(changed) {
    this.#changed = changed;
    this.plan = planOf(1, 'deep-end');
    this.frames = 0;
    this.from = cellsOf('');
    this.to = cellsOf('warden');
    this.history = [];
    this.fade = null; // {from, to, began, total, at, held}
    this.live = {
      show: 'tidewater', title: 'Tidewater', location: 'deep-end', setup: 'wide', look: 'warden', standby: null, fade: null,
      held: false, moving: false, killed: false, worklight: false, pointing: null, dry: false, hot: false, overall: 1, can_back: null, follow: null, counting: null, tempo: { bpm: 120, beats_per_bar: 4, source: 'show' }, last: null, timecode: { running: false, source: '', at: '', offset: '', next: null },
      nodes: [
        { name: 'node 1', ip: '10.0.0.21', ports: ['0:0:1', '0:0:2'], last_seen_ms: 900, lost: false, software: false },
        { name: 'node 2', ip: '10.0.0.22', ports: ['0:0:3', '0:0:4'], last_seen_ms: 1200, lost: false, software: false },
      ],
      output: { frames: 0, rate: 44, late_us_p50: 0, late_us_p99: 310, late_us_max: 310, first_us_p99: 0, skipped: 0, skipped_minute: 0, universes: 4, send_errors: 0 },
      warnings: [], revision: 1,
    };
    this.#standby(3);
  }

  progress(now = Date.now()) {
    const f = this.fade;
    if (!f) return 1;
    return Math.min(1, f.held ? f.at : f.at + (now - f.began) / f.total);
  }

  state() {
    const f = this.fade;
    const p = this.progress();
    this.live.fade = f && { from: f.from, to: f.to, progress: p, remaining_ms: Math.round((1 - p) * f.total), total_ms: f.total };
    this.live.held = Boolean(f?.held);
    this.live.output.frames = this.frames;
    return this.live;
  }

  /** Moves the clock on; true when something has changed. */
  tick() {
    if (!this.fade) return false;
    this.frames++;
    if (this.progress() >= 1) this.#settle();
    return true;
  }

  cells() {
    const p = this.progress();
    if (this.live.killed) return new Float32Array(this.to.length);
    const to = this.live.worklight ? cellsOf('house').map((v) => v * 2) : this.to;
    return to.map((v, i) => (this.from[i] * (1 - p) + v * p) * this.live.overall);
  }

  #settle() {
    this.fade = null;
    this.from = this.to;
  }

  #standby(cue) {
    const c = this.plan.cues[cue - 1];
    this.live.standby = { cue, look: c.look, fade_ms: c.fade_ms, note: c.note };
  }

  #start(look, ms, at) {
    const from = this.live.look;
    this.history.push(from);
    this.from = this.cells();
    this.to = cellsOf(look);
    this.live.killed = this.live.worklight = false;
    this.live.look = look;
    this.live.can_back = from;
    this.fade = { from, to: look, began: Date.now(), total: Math.max(1, ms), at: at ?? 0, held: at !== undefined };
  }

  /** Does a verb; gives the refusal or nothing. */
  verb(m) {
    const refusal = this[`do_${m.verb}`]?.(m) ?? (this[`do_${m.verb}`] ? null : refuse('unknown-verb', `there is no verb "${m.verb}"`, 'use cue, hold ...'));
    this.#changed();
    return refusal;
  }

  do_cue(m) {
    const cue = m.cue ? this.plan.cues[m.cue - 1] : null;
    const look = cue?.look ?? m.look;
    if (!lookNames.includes(look)) return refuse('unknown-look', `no look "${look}" at deep-end`, 'use warden or tide');
    if (m.at !== undefined && this.fade?.to === look && this.fade.cue === m.cue) return this.do_ride(m);
    this.#start(look, m.fade ? parseFloat(m.fade) : cue?.fade_ms ?? 0, m.at);
    this.fade.cue = m.cue;
    if (m.cue) this.#standby((m.cue % this.plan.cues.length) + 1);
    return null;
  }
  do_standby(m) {
    if (m.cue) this.#standby(m.cue);
    else if (lookNames.includes(m.look)) this.live.standby = { cue: 0, look: m.look, fade_ms: 0, note: '' };
    else return refuse('unknown-look', `no look "${m.look}" at deep-end`, 'use warden or tide');
    return null;
  }
  do_hold() {
    if (!this.fade) return refuse('nothing-runs', 'no fade is running to hold', 'run a cue first');
    this.fade.at = this.progress();
    this.fade.held = true;
    return null;
  }
  do_resume() {
    if (!this.fade?.held) return refuse('not-held', 'nothing is held', 'hold a fade first');
    this.fade.held = false;
    this.fade.began = Date.now();
    return null;
  }
  do_ride(m) {
    if (!this.fade) return refuse('nothing-runs', 'no fade is running to ride', 'run a cue first');
    this.fade.at = m.at;
    this.fade.held = true;
    if (m.at >= 1) this.#settle();
    return null;
  }
  do_snap() {
    if (this.fade) this.#settle();
    else this.do_cue({ cue: this.live.standby.cue, fade: '1 ms' });
    return null;
  }
  do_back() {
    const to = this.fade ? this.fade.from : this.history.pop();
    if (!to) return refuse('no-way-back', 'there is no look to go back to', 'run a cue first');
    this.#start(to, SNAP_BACK_MS);
    return null;
  }
  do_overall(m) {
    this.live.overall = Math.min(1, Math.max(0, parseFloat(m.level) / 100));
    return null;
  }
  do_worklight(m) {
    this.live.worklight = m.on ?? !this.live.worklight;
    this.live.killed = false;
    return null;
  }
  do_kill(m) {
    this.live.killed = m.on ?? true;
    if (this.live.killed) this.#settle();
    return null;
  }
  do_dry(m) {
    this.live.dry = m.on;
    return null;
  }
  do_location(m) {
    this.plan = planOf(this.plan.revision + 1, m.name);
    this.live.location = m.name;
    this.live.revision = this.plan.revision;
    return null;
  }
}

function refuse(code, message, mend) {
  return { code, message, where: '', mend };
}
