// Keys of a clicker or pedal, learnt by pressing them once, and kept on this device.

/** @import {ClickerAction} from './types' */

/** What can be taught, in the order it is shown. @type {ClickerAction[]} */
export const ACTIONS = ['run', 'back', 'take'];

/** Keys that must go on meaning what they mean to everybody: moving about, closing, and modifiers. */
const KEPT = new Set(['Escape', 'Tab', 'Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'Dead', 'Process', 'CapsLock', 'NumLock', 'ScrollLock', 'Fn']);

/**
 * The name of a key, as it is kept. Clickers of which a browser knows no key
 * name are told by the place of the key; "" when neither is known.
 *
 * @param {{key: string, code?: string}} stroke
 */
export function keyName({ key, code }) {
  if (!key || key === 'Unidentified') return code ?? '';
  return key.length === 1 ? key.toLowerCase() : key;
}

/** @param {{key: string, code?: string, ctrlKey?: boolean, altKey?: boolean, metaKey?: boolean}} stroke */
export function canLearn(stroke) {
  return keyName(stroke) !== '' && !KEPT.has(stroke.key) && !stroke.ctrlKey && !stroke.altKey && !stroke.metaKey;
}

/**
 * The keys with one more: a key does one thing, so what it did before is forgotten.
 *
 * @param {Partial<Record<ClickerAction, string>>} keys
 * @param {ClickerAction} action
 * @param {string} key
 */
export function withKey(keys, action, key) {
  /** @type {Partial<Record<ClickerAction, string>>} */
  const out = {};
  for (const a of ACTIONS) if (keys[a] && keys[a] !== key && a !== action) out[a] = keys[a];
  if (key) out[action] = key;
  return out;
}

/**
 * What a key was taught to do; undefined for nothing.
 *
 * @param {Partial<Record<ClickerAction, string>>} keys
 * @param {{key: string, code?: string}} stroke
 */
export function learntAction(keys, stroke) {
  const name = keyName(stroke);
  return name ? ACTIONS.find((a) => keys[a] === name) : undefined;
}

/** @param {() => Pick<Storage, 'getItem' | 'setItem'>} storage may throw where a browser has it off */
export function createClickerStore(storage) {
  return {
    /** @returns {Partial<Record<ClickerAction, string>>} */
    load() {
      try {
        const kept = JSON.parse(storage().getItem('clicker') ?? '{}');
        /** @type {Partial<Record<ClickerAction, string>>} */
        const keys = {};
        for (const a of ACTIONS) if (typeof kept?.[a] === 'string' && kept[a]) keys[a] = kept[a];
        return keys;
      } catch {
        return {};
      }
    },
    /** @param {Partial<Record<ClickerAction, string>>} keys */
    save(keys) {
      try {
        storage().setItem('clicker', JSON.stringify(keys));
      } catch {
        // storage is off: it is known as long as the page
      }
    },
  };
}
