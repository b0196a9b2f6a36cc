// Where on the page a warning can be mended, as far as the page has such a place.

/** @import {Place} from '../types' */

/** Places by how the codes of their warnings begin. @type {Array<[string, RegExp]>} */
const PLACES = [
  ['rig', /^(no-node|node-|port-address-|address-|art-net-|other-|rig-|lamp-|universe-|output-|channel-|battery|circuit|power|no-output|no-sacn|no-such-device|uid-|cell-twice|mark-|camera-inside|pieces-)/],
  ['takes', /^(take-|journal-|no-journal|no-takes)/],
  ['paint', /^(look-|colour-|pattern-|level-|no-level|empty-paint|group-unpainted|wears-nobody|flashing|floor-light-off)/],
];

/**
 * @param {string} code of a warning
 * @param {readonly string[]} places that the page has
 * @returns {Place | null}
 */
export function mendedAt(code, places) {
  const found = PLACES.find(([place, codes]) => places.includes(place) && codes.test(code));
  return found ? /** @type {Place} */ (found[0]) : null;
}
