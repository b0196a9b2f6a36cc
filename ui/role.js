// Who the person at this device is on set, by the code that paired it, and what is
// offered for it. The daemon holds everyone to it (server/role.go).

/** @import {Place, Role} from './types' */

/** Each can do what those before it can. @type {Role[]} */
const ROLES = ['viewer', 'assistant', 'operator', 'owner'];

/** Who may at least do a verb; all others are the operator's. @type {Record<string, Role>} */
const NEEDS = { watch: 'viewer', point: 'assistant', worklight: 'assistant', edit: 'assistant' };

/** Where each is first of use. @type {Record<Place, Role>} */
const PLACES = { set: 'viewer', rig: 'assistant', paint: 'operator', takes: 'operator' };

/** @param {Role} role @param {Role} least */
const reaches = (role, least) => ROLES.indexOf(role) >= ROLES.indexOf(least);

/** Whether a role may do a verb. @param {Role} role @param {string} verb */
export const may = (role, verb) => reaches(role, NEEDS[verb] ?? 'operator');

/** Whether a role runs the set, so that all of the page is offered. @param {Role} role */
export const runs = (role) => reaches(role, 'operator');

/** The places of a role. @template {Place} T @param {Role} role @param {T[]} places @returns {T[]} */
export const placesOf = (role, places) => places.filter((place) => reaches(role, PLACES[place]));
