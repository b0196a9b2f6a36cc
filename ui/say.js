// What the live region says when the daemon's state changes: one short
// sentence for someone who does not look, or cannot.

/** @import {Live} from './types' */

import { texts } from './texts.js';
import { nodeTurned } from './network.js';

/**
 * @param {Live | null} before
 * @param {Live} now
 * @returns {string | null} null when nothing is worth saying
 */
export function whatToSay(before, now) {
  if (!before) return null;
  if (now.killed !== before.killed) return now.killed ? texts.said.killed : texts.said.alive;
  if (now.hot && !before.hot) return texts.said.rolls(now.take ?? null);
  // A roll that is refused makes the set hot for a moment; that is no cut.
  if (before.hot && !now.hot && now.last_take?.id !== before.last_take?.id) return texts.said.cut(now.last_take ?? null);
  const unkept = now.take?.kept === false && before.take?.kept !== false;
  if (unkept || now.last_take?.kept === false && before.last_take?.kept !== false) return texts.hot.unkept;
  if (now.worklight !== before.worklight) return now.worklight ? texts.said.worklight : texts.said.worklightOff;
  if (now.pointing) return now.pointing.lamp === before.pointing?.lamp ? null : texts.said.pointing(now.pointing.lamp);
  if (now.fade && (!before.fade || before.fade.to !== now.fade.to)) {
    return texts.said.running(now.fade.to, now.fade.remaining_ms);
  }
  if (now.fade && now.held !== before.held) return now.held ? texts.said.held(now.fade.progress) : texts.said.goneOn;
  if (!now.fade && (before.fade || before.look !== now.look)) return texts.said.done(now.look);
  if (now.standby && (before.standby?.look !== now.standby.look || before.standby.cue !== now.standby.cue)) {
    return texts.said.standby(now.standby.look, now.standby.cue);
  }
  const files = filesNews(before, now);
  if (files) return files;
  const turned = nodeTurned(before, now);
  if (turned) return turned.lost ? texts.said.nodeLost(turned.node.name) : texts.said.nodeBack(turned.node.name);
  return null;
}

/**
 * What is said when the link is back: how long it was out, or that the daemon is another.
 *
 * @param {Live | null} before
 * @param {Live} now
 * @param {number} ms that the link was out
 */
export function whatWasMissed(before, now, ms) {
  const anew = before?.output && now.output && now.output.frames < before.output.frames;
  return anew ? texts.said.restarted(now.look) : texts.said.backAfter(ms);
}

/**
 * What has become of the show on disk.
 *
 * @param {Live} before
 * @param {Live} now
 */
function filesNews(before, now) {
  const is = now.files;
  if (!is || !before.files) return null;
  if (is.problems.length && !before.files.problems.length) return texts.said.broken(is.problems.length);
  return is.taken !== before.files.taken ? texts.said.taken(is.last) : null;
}
