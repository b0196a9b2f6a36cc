// What hangs on each circuit. Pure.

/** @import {PlanLamp} from '../types' */

/** Power factor that is taken for LED lamps: 0.89 to 0.99 measured for ordinary ones, far less for small or cheap ones. */
export const POWER_FACTOR = 0.9;

/**
 * @typedef {object} Circuit
 * @property {string} name "" for lamps without one
 * @property {PlanLamp[]} lamps
 * @property {number} watts of those that state them
 * @property {number} silent how many do not
 */

/** @param {PlanLamp[]} lamps @returns {Circuit[]} in the order of the rig */
export function circuits(lamps) {
  /** @type {Map<string, Circuit>} */
  const all = new Map();
  for (const lamp of lamps) {
    const c = all.get(lamp.circuit) ?? { name: lamp.circuit, lamps: [], watts: 0, silent: 0 };
    c.lamps.push(lamp);
    c.watts += lamp.watts;
    if (lamp.watts <= 0) c.silent++;
    all.set(lamp.circuit, c);
  }
  return [...all.values()];
}

/** Amperes of a load, I = P/(U·PF). @param {number} watts @param {number} volts */
export function amperes(watts, volts) {
  return watts / (volts * POWER_FACTOR);
}

/** The groups that a lamp is in, in their order. @param {PlanLamp} lamp @param {Array<{name: string, cells: number[]}>} groups */
export function groupsWith(lamp, groups) {
  const n = lamp.cells?.length ?? 0;
  return groups.filter((g) => g.cells.some((c) => c >= lamp.first_cell && c < lamp.first_cell + n));
}

/** The lamps of a group, in its order. @param {{cells: number[]}} group @param {PlanLamp[]} lamps */
export function lampsOf(group, lamps) {
  /** @type {PlanLamp[]} */
  const found = [];
  for (const cell of group.cells) {
    const lamp = lamps.find((l) => cell >= l.first_cell && cell < l.first_cell + (l.cells?.length ?? 0));
    if (lamp && !found.includes(lamp)) found.push(lamp);
  }
  return found;
}
