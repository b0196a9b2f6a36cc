// Plain requests to the daemon, for what is asked seldom.

/** @import {Refusal} from './types' */

import { texts } from './texts.js';

/** Longest wait for an answer, ms. */
const WAIT_MS = 8000;
/** The same while a photo goes over a weak link. */
const WAIT_FILE_MS = 60_000;

/**
 * @param {string} path
 * @returns {Promise<any>} the JSON of the answer; rejects with a Refusal
 */
export function getJSON(path) {
  return ask(path, {});
}

/**
 * @param {string} path
 * @param {unknown} body
 * @param {number} [wait] longest, ms
 * @returns {Promise<any>} the same
 */
export function postJSON(path, body, wait) {
  return ask(path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }, wait);
}

/**
 * @param {string} path
 * @param {Blob} file
 * @returns {Promise<any>} the same
 */
export function sendFile(path, file) {
  return ask(path, { method: 'POST', headers: { 'Content-Type': file.type }, body: file, signal: AbortSignal.timeout(WAIT_FILE_MS) });
}

/**
 * @param {string} path of something large that is kept until it changes
 * @param {AbortSignal} signal
 * @returns {Promise<ArrayBuffer>} the answer; rejects with a Refusal
 */
export async function getBytes(path, signal) {
  return (await answered(path, { cache: 'no-cache', signal })).arrayBuffer();
}

/** @param {string} path @param {RequestInit} how */
async function ask(path, how, wait = WAIT_MS) {
  const response = await answered(path, { cache: 'no-store', signal: AbortSignal.timeout(wait), ...how });
  return response.json().catch(() => null);
}

/** @param {string} path @param {RequestInit} how */
async function answered(path, how) {
  /** @type {Response} */
  let response;
  try {
    response = await fetch(path, how);
  } catch {
    throw /** @type {Refusal} */ ({ code: 'no-answer', message: texts.link.noAnswer, mend: texts.link.noAnswerMend });
  }
  if (response.ok) return response;
  const answer = await response.json().catch(() => null);
  throw answer?.error ?? /** @type {Refusal} */ ({ code: 'no-answer', message: `${path}: HTTP ${response.status}` });
}
