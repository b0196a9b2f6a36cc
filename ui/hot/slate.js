// What the slate says and what its button does, from the state alone.

/** @import {Command, PageState, SlateDraft} from '../types' */

/** @returns {SlateDraft} nothing written on it */
export function noSlate() {
  return { scene: null, slate: null, number: null, setup: null, counted: null };
}

/**
 * The slate of the take that rolls, else of the next one. A number of null
 * counts up at the daemon and is not known here yet.
 *
 * @typedef {{scene: string, slate: string, number: number | null, setup: string, byHand: boolean}} Slate
 *
 * @param {PageState} s
 * @returns {Slate}
 */
export function slateOf(s) {
  const { live, slate: draft } = s;
  const rolls = live?.take;
  if (live?.hot && rolls) return { scene: rolls.scene, slate: rolls.slate, number: rolls.number, setup: rolls.setup, byHand: false };
  const next = live?.next_take;
  const scene = draft.scene ?? next?.scene ?? '';
  const slate = draft.slate ?? next?.slate ?? '';
  const own = Boolean(next && next.scene === scene && next.slate === slate && next.number > 0);
  return {
    scene, slate, byHand: draft.number !== null,
    number: draft.number ?? (own ? next?.number ?? null : draft.counted),
    setup: draft.setup ?? live?.setup ?? '',
  };
}

/**
 * How a person calls a take: scene, slate and number.
 *
 * @param {{scene: string, slate: string, number: number | null}} t
 */
export function takeName({ scene, slate, number }) {
  if (!scene && !slate) return '';
  return [scene, slate, number ?? ''].join('/').replace(/\/$/, '');
}

/**
 * The command of the one button: cut while a take rolls, else roll. Null
 * while the slate is empty.
 *
 * @param {PageState} s
 * @returns {Command | null}
 */
export function takeCommand(s) {
  if (s.live?.hot) return { verb: 'take', do: 'cut' };
  const { scene, slate, setup } = slateOf(s);
  if (!scene && !slate) return null;
  /** @type {Command} */
  const command = { verb: 'take', do: 'roll', scene, slate };
  if (s.plan?.setups?.some((u) => u.name === setup)) command.setup = setup;
  if (s.slate.number !== null) command.number = s.slate.number;
  return command;
}

/**
 * A running time to read from afar: "0:07", "12:05", "1:02:03".
 *
 * @param {number} ms >= 0
 */
export function clockText(ms) {
  const all = Math.floor(Math.max(0, ms) / 1000);
  const two = (/** @type {number} */ n) => String(n).padStart(2, '0');
  const [h, m, s] = [Math.floor(all / 3600), Math.floor(all / 60) % 60, all % 60];
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}
