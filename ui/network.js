// What the daemon tells of the lamps' network, as far as more than one part of
// the page needs it. Pure functions.

/** @import {Live, Node} from './types' */

import { toldWord } from './told.js';

/**
 * The nodes that have stopped answering.
 *
 * @param {Live | null} live
 * @returns {Node[]}
 */
export function lostNodes(live) {
  return (live?.nodes ?? []).filter((n) => n.lost);
}

/**
 * The first node that changed between lost and found, and which way.
 *
 * @param {Live} before
 * @param {Live} now
 * @returns {{node: Node, lost: boolean} | null}
 */
export function nodeTurned(before, now) {
  for (const node of now.nodes ?? []) {
    const was = (before.nodes ?? []).find((n) => n.ip === node.ip);
    if (was && was.lost !== node.lost) return { node, lost: node.lost };
  }
  return null;
}

/** What every port says while all is well. */
const USUAL = new Set(['putting out data', 'taking in data', 'no data', 'RDM off']);

/**
 * What a node's ports say that is worth a look, a line for each thing said.
 *
 * @param {Node} node
 * @returns {string[]}
 */
export function portNews(node) {
  /** @type {Map<string, string[]>} */
  const by = new Map();
  for (const line of node.lines ?? []) {
    for (const word of line.status ?? []) {
      if (!USUAL.has(word)) by.set(word, [...(by.get(word) ?? []), line.address]);
    }
  }
  return [...by].map(([word, addresses]) => `${addresses.join(', ')} ${toldWord(word)}`);
}
