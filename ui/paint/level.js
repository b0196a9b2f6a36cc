// Levels in the words of a show file, and their parts.

/**
 * @typedef {object} Level
 * @property {'share' | 'stops' | 'under' | 'lux'} kind
 * @property {number} value percent, stops (negative is darker) or lux
 * @property {string} group that it is measured under
 * @property {string} mark where
 */

/**
 * Takes a level apart; a level that is not understood is 40 %.
 *
 * @param {string} text
 * @returns {Level}
 */
export function parseLevel(text) {
  const number = '([+-]?[0-9.]+)';
  const share = text.match(new RegExp(`^${number} *%$`));
  if (share) return { kind: 'share', value: Number(share[1]), group: '', mark: '' };
  const under = text.match(new RegExp(`^${number} stops under (\\S+) at (\\S+)$`));
  if (under) return { kind: 'under', value: Number(under[1]), group: under[2], mark: under[3] };
  const stops = text.match(new RegExp(`^${number} stops$`));
  if (stops) return { kind: 'stops', value: Number(stops[1]), group: '', mark: '' };
  const lux = text.match(new RegExp(`^${number} lx at (\\S+)$`));
  if (lux) return { kind: 'lux', value: Number(lux[1]), group: '', mark: lux[2] };
  return { kind: 'share', value: 40, group: '', mark: '' };
}

/** @param {Level} l */
export function levelText(l) {
  const v = Number(l.value.toFixed(2));
  switch (l.kind) {
    case 'share': return `${v}%`;
    case 'stops': return `${v} stops`;
    case 'under': return `${v > 0 ? '+' : ''}${v} stops under ${l.group} at ${l.mark}`;
    default: return `${v} lx at ${l.mark}`;
  }
}

/** How far a slider goes for each kind, and its step. */
export const RANGES = {
  share: { least: 0, most: 100, step: 1 },
  stops: { least: -8, most: 0, step: 0.1 },
  under: { least: -6, most: 3, step: 0.1 },
  lux: { least: 1, most: 2000, step: 1 },
};

/**
 * Where a slider stands for a level: lux goes by stops, so that 10 lx and
 * 1000 lx are both within a thumb's reach.
 *
 * @param {Level} l
 * @returns {number} 0..1
 */
export function sliderOf(l) {
  const { least, most } = RANGES[l.kind];
  const v = Math.min(most, Math.max(least, l.value));
  if (l.kind === 'lux') return Math.log2(v / least) / Math.log2(most / least);
  if (l.kind === 'share') return Math.sqrt(v / most);
  return (v - least) / (most - least);
}

/**
 * The value for a slider.
 *
 * @param {Level['kind']} kind
 * @param {number} at 0..1
 */
export function valueAt(kind, at) {
  const { least, most, step } = RANGES[kind];
  const v = kind === 'lux' ? least * (most / least) ** at
    : kind === 'share' ? most * at * at
      : least + at * (most - least);
  return Math.round(v / step) * step;
}
