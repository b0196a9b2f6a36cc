// What painting means: cells that are chosen, what they are to wear, and the
// edits of the show's files that say so. Pure; the daemon checks every edit.

/** @import {Edit, LookPaint, PaintLine, Plan, Stroke} from '../types' */

/** The patterns, in the order of their drawings. */
export const PATTERNS = /** @type {const} */ (['solid', 'alternate', 'halves', 'gradient', 'mirror']);

/**
 * Every other one of the cells, in the order they are chosen in.
 *
 * @param {number[]} cells
 */
export function everyOther(cells) {
  return cells.filter((_, i) => i % 2 === 0);
}

/**
 * One half of the cells.
 *
 * @param {number[]} cells
 * @param {'first' | 'second'} which
 */
export function half(cells, which) {
  const middle = Math.ceil(cells.length / 2);
  return which === 'first' ? cells.slice(0, middle) : cells.slice(middle);
}

/**
 * The group that is exactly these cells in this order; "" for none.
 *
 * @param {number[]} cells
 * @param {Plan} plan
 */
export function groupOf(cells, plan) {
  const found = (plan.groups ?? []).find((g) => g.cells.length === cells.length && g.cells.every((c, i) => c === cells[i]));
  return found?.name ?? '';
}

/**
 * Cells in the words of a group's list: "[lane-1, lane-2 cells 1-4]".
 *
 * @param {number[]} cells
 * @param {Plan} plan
 */
export function membersText(cells, plan) {
  /** @type {string[]} */
  const members = [];
  for (let i = 0; i < cells.length;) {
    const lamp = lampOf(cells[i], plan);
    if (!lamp) {
      i++;
      continue;
    }
    const first = cells[i] - lamp.first_cell;
    let n = 1;
    const most = (lamp.cells ?? []).length;
    while (i + n < cells.length && cells[i + n] === cells[i] + n && first + n < most) n++;
    if (n === most) members.push(lamp.id);
    else members.push(n === 1 ? `${lamp.id} cells ${first + 1}` : `${lamp.id} cells ${first + 1}-${first + n}`);
    i += n;
  }
  return `[${members.join(', ')}]`;
}

/** @param {number} cell @param {Plan} plan */
export function lampOf(cell, plan) {
  return (plan.lamps ?? []).find((l) => cell >= l.first_cell && cell < l.first_cell + (l.cells ?? []).length) ?? null;
}

/**
 * What the look gives a group now, over all it starts from: the newest colours
 * and the newest level.
 *
 * @param {LookPaint} look
 * @param {string} group
 * @returns {Stroke}
 */
export function wornNow(look, group) {
  /** @type {Stroke} */
  const now = { pattern: 'solid', colours: [], level: '' };
  for (const layer of look.layers) {
    for (const line of layer.paint) {
      if (line.on !== group) continue;
      if (line.colours.length) {
        now.colours = line.colours;
        now.pattern = /** @type {Stroke['pattern']} */ (line.pattern || 'solid');
      }
      if (line.level) now.level = line.level;
    }
  }
  return now;
}

/**
 * A stroke that fits its colours: a pattern of one colour is solid.
 *
 * @param {Stroke} s
 * @returns {Stroke}
 */
export function tidy(s) {
  if (s.colours.length > 1 && s.pattern !== 'solid') return s;
  return { ...s, pattern: 'solid', colours: s.colours.slice(0, 1) };
}

/**
 * The edits that put strokes on groups into the files. A look of the show is
 * changed for every location unless `here`: then the location gets a look of
 * the same name that starts from it.
 *
 * @param {LookPaint} look
 * @param {Map<string, Stroke>} strokes by group
 * @param {{location: string, here: boolean, groups: Map<string, string>}} where groups that are new here, with their members
 * @returns {Edit[]}
 */
export function editsOf(look, strokes, { location, here, groups }) {
  /** @type {Edit[]} */
  const edits = [];
  for (const [name, lamps] of groups) edits.push({ do: 'add', what: 'group', location, name, fields: { lamps } });
  if (strokes.size === 0) return edits;
  const own = look.layers.at(-1);
  const apart = here && look.location === '';
  if (apart) {
    const paint = [...strokes].map(([on, s]) => flow({ on, ...fieldsOf(s) }));
    edits.push({ do: 'add', what: 'look', location, name: look.look, fields: { from: look.look, paint: `[${paint.join(', ')}]` } });
    return edits;
  }
  const at = look.location ? { location: look.location } : {};
  for (const [on, stroke] of strokes) {
    const line = lastOn(own?.paint ?? [], on);
    const fields = fieldsOf(stroke);
    if (line) edits.push({ do: 'change', what: 'paint', ...at, of: look.look, number: line.number, fields });
    else edits.push({ do: 'add', what: 'paint', ...at, of: look.look, fields: { on, ...fields } });
  }
  return edits;
}

/** @param {PaintLine[]} paint @param {string} on */
function lastOn(paint, on) {
  return paint.filter((l) => l.on === on).at(-1) ?? null;
}

/** @param {Stroke} s @returns {Record<string, string>} */
function fieldsOf(s) {
  const { pattern, colours, level } = tidy(s);
  /** @type {Record<string, string>} */
  const fields = {};
  if (colours.length === 1) fields.colour = colours[0];
  if (colours.length > 1) {
    fields.pattern = pattern;
    fields.colours = `[${colours.join(', ')}]`;
  }
  if (level) fields.level = level;
  return fields;
}

/** @param {Record<string, string>} fields */
function flow(fields) {
  return `{${Object.entries(fields).map(([k, v]) => `${k}: ${v}`).join(', ')}}`;
}
