// What the live region says when the daemon's state changes: one short
// sentence for someone who does not look, or cannot.

/** @import {Live} from './types' */

import { en } from './en.js';
import { nodeTurned } from './network.js';

/**
 * @param {Live | null} before
 * @param {Live} now
 * @returns {string | null} null when nothing is worth saying
 */
export function whatToSay(before, now) {
  if (!before) return null;
  if (now.killed !== before.killed) return now.killed ? en.said.killed : en.said.alive;
  if (now.hot && !before.hot) return en.said.rolls(now.take ?? null);
  // A roll that is refused makes the set hot for a moment; that is no cut.
  if (before.hot && !now.hot && now.last_take?.id !== before.last_take?.id) return en.said.cut(now.last_take ?? null);
  const unkept = now.take?.kept === false && before.take?.kept !== false;
  if (unkept || now.last_take?.kept === false && before.last_take?.kept !== false) return en.hot.unkept;
  if (now.worklight !== before.worklight) return now.worklight ? en.said.worklight : en.said.worklightOff;
  if (now.pointing) return now.pointing.lamp === before.pointing?.lamp ? null : en.said.pointing(now.pointing.lamp);
  if (now.fade && (!before.fade || before.fade.to !== now.fade.to)) {
    return en.said.running(now.fade.to, now.fade.remaining_ms);
  }
  if (now.fade && now.held !== before.held) return now.held ? en.said.held(now.fade.progress) : en.said.goneOn;
  if (!now.fade && (before.fade || before.look !== now.look)) return en.said.done(now.look);
  if (now.standby && (before.standby?.look !== now.standby.look || before.standby.cue !== now.standby.cue)) {
    return en.said.standby(now.standby.look, now.standby.cue);
  }
  const files = filesNews(before, now);
  if (files) return files;
  const turned = nodeTurned(before, now);
  if (turned) return turned.lost ? en.said.nodeLost(turned.node.name) : en.said.nodeBack(turned.node.name);
  return null;
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
  if (is.problems.length && !before.files.problems.length) return en.said.broken(is.problems.length);
  return is.taken !== before.files.taken ? en.said.taken(is.last) : null;
}
