// An invented place to draw: the deep end of a drained bath, with about as
// many lamps and cells as the page has to carry. All numbers are made up.

const CHARACTERS = {
  warden: { lead: [1, 0.42, 0.02], second: [1, 0.1, 0.03] },
  tide: { lead: [0, 0.86, 1], second: [0.34, 0.02, 1] },
};
const WHITE_3200 = [1, 0.62, 0.3];
const WHITE_5600 = [0.92, 0.97, 1];

/** Rec.2020 linear to XYZ, ITU-R BT.2020-2. */
export function xyzOf([r, g, b], lumens) {
  return [
    (0.6369580483 * r + 0.1446169036 * g + 0.1688809752 * b) * lumens,
    (0.2627002120 * r + 0.6779980715 * g + 0.0593017165 * b) * lumens,
    (0.0280726930 * g + 1.0609850577 * b) * lumens,
  ];
}

const lamps = [];

function lamp(id, kind, place, more) {
  const cells = more.cells ?? 1;
  const along = more.along ?? [0, 0, 0];
  const length = more.length ?? 0.3;
  const first = lamps.reduce((n, l) => n + l.cells.length, 0);
  lamps.push({
    id, kit: id.toUpperCase(), type: `generic-${kind}`, mode: '16-bit', footprint: Math.max(1, cells * 5), watts: 40, class: kind, place, along, aim: more.aim ?? null,
    address: `0:0:${1 + (lamps.length >> 3)}.${String(1 + (lamps.length % 8) * 64).padStart(3, '0')}`,
    circuit: 'wall-a', length_m: length, width_m: more.width ?? 0.05, first_cell: first, group: more.group,
    cells: Array.from({ length: cells }, (_, i) => ({
      place: place.map((v, k) => v + along[k] * length * ((i + 0.5) / cells - 0.5)),
      most_lumens: more.lumens / cells,
    })),
  });
}

for (let i = 0; i < 8; i++) {
  lamp(`lane-${i + 1}`, 'tube', [2.2 + 1.2 * (i >> 1) * 2, i % 2 ? 2.6 : 6.4, 0.08], {
    cells: 16, length: 1.2, lumens: 1800, along: [1, 0, 0], group: 'edge',
  });
}
for (let i = 0; i < 8; i++) {
  lamp(`back-${i + 1}`, 'tube', [1.4 + i * 1.6, 8.85, 1], { cells: 8, length: 0.6, lumens: 600, along: [0, 0, 1], group: 'back' });
}
lamp('key', 'panel', [-0.6, 1.2, 2.6], { lumens: 7500, length: 0.5, width: 0.4, aim: [6, 4, 1], group: 'key' });
lamp('moon', 'spot', [14.4, 8.2, 3.4], { lumens: 9000, length: 0.3, width: 0.3, aim: [8.5, 4.5, 0], group: 'moon' });
for (let i = 0; i < 4; i++) {
  lamp(`wall-${i + 1}`, 'panel', [13.6, 1.2 + i * 1.9, 1.2], {
    lumens: 2400, length: 0.3, width: 0.3, aim: [10.5, 1.2 + i * 1.9, 0], group: 'back',
  });
}
for (let i = 0; i < 8; i++) {
  const a = (i / 8) * 2 * Math.PI;
  lamp(`puck-${i + 1}`, 'puck', [7 + 1.9 * Math.cos(a), 4.5 + 1.3 * Math.sin(a), 0.05], { lumens: 260, length: 0.12, width: 0.12, group: 'floor' });
}
lamp('haze', 'fog', [0.4, 8.3, 0], { cells: 0, lumens: 0, length: 0.4, width: 0.3, group: 'haze' });

/** How a look lights a cell: a colour and a level by group and place in it. */
function paint(character) {
  const c = CHARACTERS[character];
  return (group, i, n) => {
    if (group === 'key') return [character === 'tide' ? WHITE_5600 : WHITE_3200, 0.14];
    if (group === 'moon') return [c.second, 0.16];
    if (group === 'floor') return [i % 2 ? c.second : c.lead, 0.5];
    if (group === 'back') return [i < n / 2 ? c.second : c.lead, 0.35];
    return [(i >> 2) % 2 ? c.second : c.lead, 0.42];
  };
}

const LOOKS = {
  house: () => [WHITE_3200, 0.25],
  warden: paint('warden'),
  tide: paint('tide'),
  'she-surfaces': (group, i, n) => {
    const t = n > 1 ? i / (n - 1) : 0;
    const mix = CHARACTERS.tide.lead.map((v, k) => v * (1 - t) + CHARACTERS.warden.lead[k] * t);
    return group === 'edge' ? [mix, 0.5] : group === 'floor' ? [CHARACTERS.tide.lead, 0.8] : [CHARACTERS.tide.second, 0.08];
  },
  ember: (group) => (group === 'floor' ? [CHARACTERS.warden.second, 0.6] : [CHARACTERS.warden.second, group === 'edge' ? 0.04 : 0]),
};

const total = lamps.reduce((n, l) => n + l.cells.length, 0);

/** X Y Z of every cell in a look, as Float32Array. */
export function cellsOf(name) {
  const out = new Float32Array(total * 3);
  const sizes = {};
  for (const l of lamps) sizes[l.group] = (sizes[l.group] ?? 0) + l.cells.length;
  const seen = {};
  for (const l of lamps) {
    l.cells.forEach((cell, k) => {
      const i = (seen[l.group] = (seen[l.group] ?? -1) + 1);
      const [rgb, level] = name === '' ? [[0, 0, 0], 0] : LOOKS[name](l.group, i, sizes[l.group]);
      out.set(xyzOf(rgb, cell.most_lumens * level), (l.first_cell + k) * 3);
    });
  }
  return out;
}

export const lookNames = Object.keys(LOOKS);

const CUES = [
  ['house', 0, '0 s', ''],
  ['warden', 3000, '3 s', 'he walks the lane'],
  ['tide', 10000, '4 s on screen', 'she surfaces'],
  ['she-surfaces', 2500, '1 bar', 'both in the water, hold for the turn'],
  ['warden', 4000, '8 beats', ''],
  ['ember', 6000, '6 s', 'pucks only: mind the steps'],
];

export function planOf(revision, location) {
  const bar = (name, which) => {
    const who = name === 'tide' || name === 'she-surfaces' ? 'tide' : name === 'house' ? null : 'warden';
    return who && xyzOf(CHARACTERS[who][which], 1);
  };
  const groups = {};
  for (const l of lamps) (groups[l.group] ??= []).push(...l.cells.map((_, i) => l.first_cell + i));
  return {
    revision, show: 'tidewater', location, locations: ['deep-end', 'diving-stage', 'changing-huts', 'pump-room'],
    bounds: { min: [-1, 0], max: [15, 9.2] },
    set: [
      { kind: 'box', name: 'pool floor', centre: [7, 4.5, -0.1], size: [13, 8, 0.1] },
      { kind: 'box', name: 'steps', centre: [1.1, 4.5, 0.3], size: [1.2, 2.4, 0.6] },
      { kind: 'box', name: 'springboard', centre: [11.6, 4.5, 1.4], size: [2.6, 0.5, 0.1] },
    ],
    marks: [{ name: 'a', points: [[6, 4, 0]] }, { name: 'walk', points: [[2, 1.6, 0], [6, 4, 0], [10.6, 7.2, 0]] }],
    setups: [{ name: 'wide', camera: [6, -4, 1.5], look_at: [6, 4, 0] }],
    groups: Object.entries(groups).map(([name, cells]) => ({ name, cells })),
    lamps: lamps.map(({ group, ...rest }) => rest),
    looks: lookNames.map((name) => ({ name, wears: '', lead: bar(name, 'lead'), second: bar(name, 'second'), note: '' })),
    cues: CUES.map(([look, fade_ms, fade_text, note], i) => ({
      cue: i + 1, look, fade_ms, fade_text, note, delay_ms: 0, after_ms: null, timecode: '', dark: false, path: 'short',
    })),
    balance: [0.3666, 0.3663],
  };
}
