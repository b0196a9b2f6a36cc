// How takes are asked for: paths of the daemon, from what a person looks for.

/** @import {TakeQuery} from './types' */

/** Takes a page of the list. */
export const PAGE = 30;
/** Most takes that one answer holds. */
const MOST = 1000;

/** @returns {TakeQuery} all of them */
export function allTakes() {
  return { scene: '', look: '', day: '', circled: false };
}

/** @param {TakeQuery} q */
export function isAll(q) {
  return !q.scene && !q.look && !q.day && !q.circled;
}

/** @param {TakeQuery} q @param {number} offset */
export function listPath(q, offset) {
  return path(q, { limit: String(PAGE), ...(offset ? { offset: String(offset) } : {}) });
}

/** @param {TakeQuery} q @param {'csv' | 'edl' | 'tab' | 'json'} form */
export function exportPath(q, form) {
  return path(q, form === 'json' ? { form, limit: String(MOST) } : { form });
}

/** @param {TakeQuery} q @param {Record<string, string>} more */
function path(q, more) {
  const asked = new URLSearchParams();
  if (q.scene) asked.set('scene', q.scene);
  if (q.look) asked.set('look', q.look);
  if (q.day) {
    asked.set('since', q.day);
    asked.set('until', dayAfter(q.day));
  }
  if (q.circled) asked.set('circled', '1');
  for (const [name, value] of Object.entries(more)) asked.set(name, value);
  return `/api/takes?${asked}`;
}

/** @param {string} day "2026-11-30" @returns {string} "2026-12-01" */
export function dayAfter(day) {
  const at = new Date(`${day}T12:00:00Z`);
  at.setUTCDate(at.getUTCDate() + 1);
  return at.toISOString().slice(0, 10);
}

/**
 * What the next take of a slate counts, from the takes that there are of it.
 *
 * @param {Array<{scene: string, slate: string, number: number}>} takes
 * @param {string} scene
 * @param {string} slate
 */
export function nextNumber(takes, scene, slate) {
  const mine = takes.filter((t) => t.scene === scene && t.slate === slate);
  return 1 + Math.max(0, ...mine.map((t) => t.number));
}

/** @param {string} scene @param {string} slate */
export function slatePath(scene, slate) {
  const asked = new URLSearchParams({ ...(scene ? { scene } : {}), ...(slate ? { slate } : {}), limit: String(MOST) });
  return `/api/takes?${asked}`;
}
