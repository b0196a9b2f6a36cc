// The walk from lamp to lamp with a phone in one hand: which one it is at, what
// was found of each, and which way a lamp is shown. Pure.

/** @import {Node, PlanLamp, RigRow} from '../types' */

import { parseAddress, portText } from './address.js';

/**
 * @typedef {'found' | 'missing'} Mark
 * @typedef {{location: string, at: string, marks: Record<string, Mark>, turned: string[]}} Walk at is "" at its end
 */

/** @param {string} location @param {PlanLamp[]} lamps @returns {Walk} */
export function beginWalk(location, lamps) {
  return { location, at: lamps[0]?.id ?? '', marks: {}, turned: [] };
}

/**
 * A walk that was kept, as far as it fits the rig that there is now; null for none.
 *
 * @param {string | null} kept
 * @param {string} location
 * @param {PlanLamp[]} lamps
 * @returns {Walk | null}
 */
export function keptWalk(kept, location, lamps) {
  /** @type {any} */
  let walk;
  try {
    walk = JSON.parse(kept ?? 'null');
  } catch {
    return null;
  }
  if (walk?.location !== location || typeof walk.marks !== 'object' || !walk.marks || !Array.isArray(walk.turned)) return null;
  const here = new Set(lamps.map((l) => l.id));
  /** @type {Record<string, Mark>} */
  const marks = {};
  for (const [id, mark] of Object.entries(walk.marks)) {
    if (here.has(id) && (mark === 'found' || mark === 'missing')) marks[id] = mark;
  }
  return { location, at: here.has(walk.at) ? walk.at : '', marks, turned: walk.turned.filter((/** @type {any} */ id) => here.has(id)) };
}

/**
 * The next lamp in rig order that has no mark yet, once round; "" when all have one.
 *
 * @param {Walk} walk
 * @param {PlanLamp[]} lamps
 */
export function nextLamp(walk, lamps) {
  const from = lamps.findIndex((l) => l.id === walk.at);
  for (let k = 1; k <= lamps.length; k++) {
    const { id } = lamps[(from + k) % lamps.length];
    if (!walk.marks[id] && id !== walk.at) return id;
  }
  return '';
}

/** @param {Walk} walk @param {PlanLamp[]} lamps @returns {Walk} */
export function goOn(walk, lamps) {
  return { ...walk, at: nextLamp(walk, lamps) };
}

/** Marks the lamp and goes on. @param {Walk} walk @param {Mark} mark @param {PlanLamp[]} lamps @returns {Walk} */
export function markLamp(walk, mark, lamps) {
  return goOn({ ...walk, marks: { ...walk.marks, [walk.at]: mark } }, lamps);
}

/** Notes a lamp that was turned round; twice is not at all. @param {Walk} walk @param {string} id @returns {Walk} */
export function noteTurned(walk, id) {
  const turned = walk.turned.includes(id) ? walk.turned.filter((t) => t !== id) : [...walk.turned, id];
  return { ...walk, turned };
}

/**
 * What the walk has found, in rig order.
 *
 * @param {Walk} walk
 * @param {PlanLamp[]} lamps
 * @param {Node[]} nodes
 */
export function tally(walk, lamps, nodes) {
  const of = (/** @type {Mark | undefined} */ mark) => lamps.filter((l) => walk.marks[l.id] === mark);
  return {
    found: of('found'),
    missing: of('missing'),
    open: of(undefined),
    turned: lamps.filter((l) => walk.turned.includes(l.id)),
    unserved: lamps.filter((l) => l.footprint > 0 && !servedBy(l, nodes)),
  };
}

/**
 * The node that puts out a lamp's address; null for none. One that still answers goes first.
 *
 * @param {Pick<PlanLamp, 'address'>} lamp
 * @param {Node[]} nodes
 */
export function servedBy(lamp, nodes) {
  const a = parseAddress(lamp.address);
  if (!a) return null;
  const port = portText(a.port);
  const able = nodes.filter((n) => (n.ports ?? []).some((p) => String(p) === port));
  return able.find((n) => !n.lost) ?? able[0] ?? null;
}

/** Findings of a device that does not answer. */
const SILENT = new Set(['not-found', 'no-answer', 'unsure']);

/**
 * The device that is a lamp and answers; "" for none: then light points at it.
 *
 * @param {string} id
 * @param {RigRow[]} rows
 */
export function answering(id, rows) {
  const row = rows.find((r) => r.place === id);
  return row?.uid && !row.findings.some((f) => SILENT.has(f.kind)) ? row.uid : '';
}
