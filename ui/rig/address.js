// Addresses of the rig as people write them, "net:sub-net:universe.slot", which
// of them clash, and addresses given automatically. Pure.

/** @import {PlanLamp} from '../types' */

/** Slots of a universe (ANSI E1.11). */
const SLOTS = 512;
/** Port-addresses (Art-Net 4: 15 bits). */
const PORTS = 1 << 15;

/** @typedef {{port: number, slot: number}} Address slot counts from 1 */

/**
 * Null for what is no address.
 *
 * @param {string} text
 * @returns {Address | null}
 */
export function parseAddress(text) {
  const m = /^\s*(\d{1,3}):(\d{1,2}):(\d{1,2})\.(\d{1,3})\s*$/.exec(text);
  if (!m) return null;
  const [net, subNet, universe, slot] = m.slice(1).map(Number);
  if (net > 127 || subNet > 15 || universe > 15 || slot < 1 || slot > SLOTS) return null;
  return { port: (net << 8) | (subNet << 4) | universe, slot };
}

/** @param {Address} address */
export function addressText({ port, slot }) {
  return `${portText(port)}.${String(slot).padStart(3, '0')}`;
}

/** @param {number} port */
export function portText(port) {
  return `${port >> 8}:${(port >> 4) & 15}:${port & 15}`;
}

/**
 * The slots that a lamp takes; null for one without an address or without slots.
 *
 * @param {Pick<PlanLamp, 'address' | 'footprint'>} lamp
 * @returns {{port: number, first: number, last: number} | null}
 */
export function slotsOf(lamp) {
  const a = parseAddress(lamp.address);
  if (!a || lamp.footprint < 1) return null;
  return { port: a.port, first: a.slot, last: a.slot + lamp.footprint - 1 };
}

/**
 * What clashes: for each lamp that shares slots with others, those others.
 *
 * @param {Array<Pick<PlanLamp, 'id' | 'address' | 'footprint'>>} lamps
 * @returns {Map<string, string[]>}
 */
export function clashes(lamps) {
  /** @type {Map<string, string[]>} */
  const found = new Map();
  const taken = lamps
    .flatMap((l) => {
      const s = slotsOf(l);
      return s ? [{ id: l.id, ...s }] : [];
    })
    .sort((a, b) => a.port - b.port || a.first - b.first);
  const note = (/** @type {string} */ a, /** @type {string} */ b) => found.set(a, [...(found.get(a) ?? []), b]);
  taken.forEach((a, i) => {
    for (let k = i + 1; k < taken.length && taken[k].port === a.port && taken[k].first <= a.last; k++) {
      note(a.id, taken[k].id);
      note(taken[k].id, a.id);
    }
  });
  return found;
}

/** Whether a lamp runs over the end of its universe. @param {Pick<PlanLamp, 'address' | 'footprint'>} lamp */
export function overruns(lamp) {
  const s = slotsOf(lamp);
  return Boolean(s && s.last > SLOTS);
}

/**
 * Addresses in rig order from a start, each lamp behind the one before it; one
 * that does not fit any more begins the next universe. Null where the addresses end.
 *
 * @param {Array<Pick<PlanLamp, 'id' | 'address' | 'footprint'>>} lamps
 * @param {Address} start
 * @returns {Array<{id: string, address: string}> | null} those that change
 */
export function number(lamps, start) {
  /** @type {Array<{id: string, address: string}>} */
  const changed = [];
  let { port, slot } = start;
  for (const lamp of lamps) {
    if (lamp.footprint < 1) continue;
    if (slot + lamp.footprint - 1 > SLOTS) {
      port++;
      slot = 1;
    }
    if (port >= PORTS) return null;
    const address = addressText({ port, slot });
    const was = parseAddress(lamp.address);
    if (!was || was.port !== port || was.slot !== slot) changed.push({ id: lamp.id, address });
    slot += lamp.footprint;
  }
  return changed;
}
