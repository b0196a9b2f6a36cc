// Where on the page a warning can be mended, as far as the page has such a place.

/** @import {Place} from '../types' */

/** Places by how the codes of their warnings begin. @type {Array<[string, RegExp]>} */
const PLACES = [
  ['rig', /^(no-node|node-|port-address-|address-|art-net-|other-|rig-|lamp-|universe-|output-|channel-|battery|circuit|power)/],
  ['takes', /^(take-|journal-|no-journal|no-takes)/],
  ['paint', /^(look-|colour-|flashing|floor-light-off|level-|out-of-reach|camera-clip)/],
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
