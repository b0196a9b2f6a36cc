// Every word of the page, in English. Another language is another file with
// the same keys.

import { decimal, latency, lengthText, percent, remaining, time, words } from './format.js';

/** What a verb is called in a sentence that begins with it. @type {Record<string, string>} */
const VERBS = {
  cue: 'Run', standby: 'Stand by', hold: 'Hold', resume: 'Go on', snap: 'Snap', back: 'Back', ride: 'Ride',
  overall: 'Overall', worklight: 'Work light', kill: 'Kill', dry: 'Dry run', location: 'Change of location', tempo: 'Tempo', setup: 'Set-up', watch: 'Meter', point: 'Show a lamp',
  take: 'The slate', 'as-shot': 'As shot',
};

export const en = {
  title: 'linkboy',

  link: {
    opening: 'linking',
    up: 'linked',
    lost: 'lost',
    sent: 'sent',
    pairing: 'pairing',
    /** @param {number} ms */
    accepted: (ms) => `accepted ${latency(ms)}`,
    /** @param {string} verb */
    notSent: (verb) => `${VERBS[verb] ?? verb} was not sent: the link is lost`,
    notSentMend: 'wait for the link, then do it again',
    noAnswer: 'the link went before the answer came',
    noAnswerMend: 'see what is on when the link is back, then decide',
  },

  status: {
    open: 'Nodes, warnings and settings',
    noPlace: 'no location yet',
    /** @param {number} n */
    nodes: (n) => (n === 1 ? '1 node' : `${n} nodes`),
    /** @param {string[]} names of the lost @param {number} n */
    nodesLost: (names, n) => (names.length === 1 ? `1 node lost: ${names[0]}` : `${names.length} of ${n} nodes lost`),
    noNodes: 'no nodes',
    dry: 'dry',
    hot: 'hot set',
    /** @param {number} n */
    warnings: (n) => (n === 1 ? '1 warning' : `${n} warnings`),
  },

  role: {
    title: 'Who else is in',
    /** What this device is. */
    you: {
      owner: 'This device is the owner\'s: it can do everything and lets others in.',
      operator: 'This device is an operator\'s: it can do everything but let others in.',
      assistant: 'This device is an assistant\'s: it sees to the lamps and has work light.',
      viewer: 'This device looks on.',
    },
    letIn: { operator: 'let an operator in', assistant: 'let an assistant in', viewer: 'let somebody look on' },
    does: { operator: 'runs cues, paints, makes takes', assistant: 'finds, moves and addresses lamps; no cues', viewer: 'sees the picture and what runs' },
    /** @param {string} what */
    scan: (what) => `Code to scan: ${what}`,
    orType: 'Scan it with the other phone\'s camera. Or open',
    andType: 'and type',
    alone: 'Only this machine reaches this daemon. Start it with --listen 0.0.0.0:4040, and phones can be let in.',
    /** Beside what runs, for who does not run it. */
    reads: { viewer: 'You look on.', assistant: 'You see to the lamps; cues are run elsewhere.', operator: '', owner: '' },
    pad: 'What runs',
    /** @param {'viewer' | 'assistant' | 'operator' | 'owner'} role */
    notYours: (role) => `That is not for a device that is paired as ${role}.`,
    notYoursMend: 'Ask who runs the cues, or have the owner pair this device for more.',
  },

  picture: {
    /** @param {string} place @param {string} look */
    label: (place, look) => `Plan of ${words(place)} from above, lit as ${words(look) || 'nothing'}`,
    /** @param {string} place @param {string} look @param {string} setup */
    shot: (place, look, setup) => `${words(place)} from the camera of ${words(setup)}, lit as ${words(look) || 'nothing'}. Tap reads stops`,
    views: 'What the picture shows',
    plan: 'plan',
    bands: 'stops',
    glow: 'mist',
    haze: 'haze',
    /** @param {number} share */
    hazy: (share) => `haze of ${percent(share)}, an impression`,
    hazeComes: 'haze is being computed',
    /** @param {string} why */
    noHaze: (why) => `no haze: ${why}`,
    /** @param {number} v @param {number} over */
    stops: (v, over) =>
      v < -12 ? 'black'
        : v >= over ? 'clips'
          : Math.abs(v) < 0.05 ? 'at grey'
            : `${decimal(Math.abs(v), 1)} ${v > 0 ? 'over' : 'under'}`,
    /** @param {string} why */
    cannot: (why) => `The plan, not the camera's picture: ${why}.`,
    /** @param {string} stage @param {number} setups */
    until: (stage, setups) =>
      stage === '' || stage === 'none' ? 'The plan. No light is computed for the camera\'s picture here.'
        : stage === 'failed' ? 'The plan. The light of this place could not be computed; the warnings say why.'
        : stage === 'computing' || setups > 0 ? 'The plan, while the light of this place is computed.'
          : 'The plan, until the camera\'s picture has come.',
    waiting: 'The plan comes with the link.',
    noLamps: 'No lamps here yet. Put lamps in the rig of this location, and they show on the plan.',
    stale: 'as last seen',
    blind: 'on the line, not on set',
    trying: 'as painted, not on set',
  },

  setup: {
    title: 'Set-up',
    here: 'set up now',
    asWritten: 'looks as they are written',
    /** @param {string} view @param {string} shot */
    viewOnly: (view, shot) => `Only the picture: ${words(view)}. On set: ${words(shot)}.`,
    /** @param {string} view */
    setUp: (view) => `set up for ${words(view)}`,
  },

  meter: {
    title: 'Meter',
    /** @param {string} look */
    of: (look) => (look ? `Meter, ${words(look)}` : 'Meter, no look is on'),
    open: 'meter',
    stale: 'As last read: the link is lost.',
    noMarks: 'No marks here. Write marks in the location, and they are metered.',
    note: 'Computed from the plan and the bytes that go out. It cannot see a moved lamp, pale clothes or a wet floor: meter the key before a take, and the floor before people move in the dark.',
    waiting: {
      none: 'No light is computed here, so there is nothing to meter.',
      failed: 'The light of this place could not be computed, so there is nothing to meter. The warnings say why.',
      computing: 'The light of this place is being computed. Nothing can be metered before it is whole.',
      reading: 'The light is there. Reading the marks and the floor.',
      steps: ['a first glance', 'light straight from lamps', 'light thrown back by surfaces', 'reading'],
      done: 'done',
      now: 'under way',
      open: '',
      note: 'It is kept for the next time. The set can be run meanwhile.',
    },
    /** @param {import('./types').MeterReport} r @param {string} time */
    exposed: (r, time) =>
      `${words(r.setup)}: T${r.camera.stop}, ISO ${r.camera.iso}, ${r.camera.fps} fps, ${Math.round(r.camera.shutter_deg * 10) / 10}° (${time}), ${r.camera.balance_k} K`,
    /** @param {string} name */
    mark: (name) => `Mark ${words(name)}`,
    /** @param {number} lux */
    noStop: (lux) => (lux > 0 ? 'under T0.7' : 'dark'),
    /** @param {number} n */
    tenths: (n) => (n ? `and ${n}/10` : 'and 0'),
    /** @param {number} over @param {number} stop */
    over: (over, stop) =>
      over < -20 ? 'no light' : Math.abs(over) < 0.05 ? `as exposed at T${stop}` : `${decimal(Math.abs(over), 1)} ${over > 0 ? 'over' : 'under'} T${stop}`,
    /** @param {string} lux */
    facing: (lux) => `${lux}, facing the camera`,
    ratio: 'key : fill',
    /** @param {string} ratio */
    sumRatio: (ratio) => `fill is all light but the key, facing the camera; (key + fill) : fill is ${ratio} : 1`,
    groups: 'Groups, each alone and facing it, under the key',
    /** @param {import('./types').MeterGroup} g */
    under: (g) =>
      g.is_key ? 'the key'
        : g.stops_under_key === undefined ? ''
          : Math.abs(g.stops_under_key) < 0.05 ? 'as the key'
            : `${decimal(Math.abs(g.stops_under_key), 1)} ${g.stops_under_key > 0 ? 'under' : 'over'}`,
    /** @param {number} stops */
    shadow: (stops) => `The operator at the camera takes ${decimal(stops, 1)} of a stop. Raise a lamp, or stand beside its way.`,
    /** @param {import('./types').MeterSpot} s */
    spot: (s) => {
      const what = s.name === 'white' ? 'white cloth' : s.name;
      if (s.stops_over_grey.every((v) => v === null)) return `${what}: dark`;
      return s.clip_margin_stops > 0
        ? `${what}: ${decimal(s.clip_margin_stops, 1)} stops before it clips in ${s.hottest}`
        : `${what} clips in ${s.hottest}, by ${decimal(-s.clip_margin_stops, 1)} stops`;
    },
    inShot: 'Lamps in shot, in stops past clipping',
    noneInShot: 'No lit lamp is in shot.',
    /** @param {number} by */
    clips: (by) => `goes white by ${decimal(by, 1)}`,
    /** @param {number} share @param {string} channel */
    keeps: (share, channel) => `clips in ${channel}; keeps its colour at ${share >= 0.1 ? Math.round(share * 100) : decimal(share * 100, 1)} % of now`,
    /** @param {string} names */
    kept: (names) => `Keep their colour: ${names}`,
    floor: 'Floor, where it is darkest',
    /** @param {{at: [number, number, number], walk: string}} f */
    floorAt: (f) => `on ${words(f.walk)}, ${lengthText(f.at[0])} right and ${lengthText(f.at[1])} up the plan`,
    /** @param {number} limit */
    floorUnder: (limit) => `Under ${limit} lx: nobody should move in this light. Bring up floor light or work light. Local codes come first.`,
    /** @param {number} limit */
    floorOver: (limit) => `The least to warn of is ${limit} lx. Local codes come first.`,
    shutter: 'Shutter',
    /** @param {{mains_hz: number, safe: boolean, nearest_safe_deg?: number, ripple: number, beat_hz: number}} f */
    mains: (f) =>
      f.safe ? `Mains lamps at ${f.mains_hz} Hz: safe`
        : f.nearest_safe_deg === undefined ? `Mains lamps at ${f.mains_hz} Hz: no angle is safe at this frame rate`
          : f.beat_hz === 0 ? `Mains lamps at ${f.mains_hz} Hz: frames are alike, a rolling shutter can show bars; safe at ${decimal(f.nearest_safe_deg, 1)}°`
            : `Mains lamps at ${f.mains_hz} Hz: frames differ by ${Math.round(f.ripple * 100)} %, ${Number(f.beat_hz.toPrecision(2))} times a second; safe at ${decimal(f.nearest_safe_deg, 1)}°`,
    /** @param {{readout_ms: number, split_share: number}} f */
    flip: (f) =>
      `A flip in no time, ${f.readout_ms > 0 ? `shutter read in ${Math.round(f.readout_ms)} ms` : 'all rows at once'}: ${Math.round(f.split_share * 100)} % show split or blended`,
    /** @param {number} cue @param {string} verdict */
    stepping: (cue, verdict) => `Cue ${cue} is not smooth, ${verdict}:`,
    times: 'Fades to this look',
    /** @param {import('./types').MeterCamera} c */
    speed: (c) => `${c.fps} fps on a timeline of ${c.timeline_fps}: plays at ${Math.round((c.speed ?? 1) * 100)} % of its speed`,
    /** @param {{cue: number, asked: string, frames: number}} t @param {string} real @param {string} screen */
    fade: (t, real, screen) => `Cue ${t.cue}, ${t.asked}: ${real} on set, ${Math.round(t.frames)} frames${screen && `, ${screen} on screen`}`,
  },

  places: {
    label: 'Places of the page',
    set: 'set',
    paint: 'paint',
    rig: 'rig',
    takes: 'takes',
    loading: 'coming',
    locked: 'The set is hot: nothing can be changed until the cut.',
  },

  rig: {
    /** @param {string} place */
    plan: (place) => `Plan of ${words(place)} from above, with every lamp`,
    /** @param {string} id */
    chosen: (id) => `${id} is chosen`,
    noneChosen: 'No lamp is chosen',
    tab: { lamp: 'lamps', found: 'found', numbers: 'addresses', power: 'circuits', groups: 'groups' },
    sign: { found: '\u2713', missing: '\u2715', clash: '!' },
    begin: 'Choose a lamp on the plan or here: see what reaches it, move it, turn it, address it.',
    noLamps: 'No lamp stands here yet. Add some under rig: in the file of the location.',
    noGroups: 'There are no groups here yet. Choose cells in paint and name them.',
    inNone: 'In no group',
    all: 'all lamps',
    address: 'address',
    circuit: 'circuit',
    axis: ['right', 'up the plan', 'height'],
    turn: 'turned',
    show: 'show it on set',
    showing: 'shows itself: stop',
    flip: 'turn it end to end',
    noneGiven: 'no address',
    clashes: 'clashes',
    noNode: 'no node serves it',
    noAddress: 'Write it as net:sub-net:universe.slot, like 0:0:1.001.',
    noEditor: { code: 'no-editor', message: 'This daemon edits no show.', mend: 'Change the files of the show: they are read again as they are saved.' },
    /** @param {import('./types').PlanLamp} l */
    kind: (l) => `${l.kit}: ${l.type}, mode ${l.mode}, ${l.footprint === 1 ? '1 slot' : `${l.footprint} slots`}${(l.cells?.length ?? 0) > 1 ? `, ${l.cells?.length} cells` : ''}${l.watts > 0 ? `, ${l.watts} W at full` : ''}`,
    /** @param {import('./types').Node} n */
    servedBy: (n) => (n.lost ? `Its node ${n.name}, ${n.ip}, does not answer: check power and network cable of the node.` : `Served by node ${n.name}, ${n.ip}.`),
    /** @param {string} address */
    unserved: (address) => `No node puts out ${address || 'its address'}: check the node, or give the lamp another address.`,
    /** @param {import('./types').PlanLamp} l @param {string[]} others */
    clash: (l, others) => `Slots of ${l.address} are those of ${others.slice(0, 4).join(', ')}${others.length > 4 ? ` and ${others.length - 4} more` : ''} too: give it others.`,
    /** @param {string[]} others */
    clashWith: (others) => `clashes with ${others.slice(0, 4).join(', ')}${others.length > 4 ? ` and ${others.length - 4} more` : ''}`,
    /** @param {{address: string, footprint: number}} l */
    overrun: (l) => `It takes ${l.footprint} slots and runs over slot 512: begin lower or in the next universe.`,
    /** @param {string[]} names */
    inGroups: (names) => `In ${names.length === 1 ? 'group' : 'groups'} ${names.join(', ')}.`,
    /** @param {import('./types').Device} d */
    device: (d) => `${d.model || 'Device'} ${d.uid}${d.start ? `, set to ${d.port_address}.${String(d.start).padStart(3, '0')}` : ''}${d.hours === undefined ? '' : `, ${d.hours} h`}${d.lost ? ', does not answer any more' : ''}`,
    /** @param {import('./types').Point} p @param {number | null} degrees */
    standsAt: ([x, y], degrees) => `${x.toFixed(2)} m right, ${y.toFixed(2)} m up${degrees === null ? '' : `, ${degrees}°`}`,
    /** @param {{rdm: boolean, light: boolean, dry: boolean}} now */
    how: ({ rdm, light, dry }) => {
      if (rdm) return 'Shows itself by RDM, in its own way: some lamps flash, so tell people who stand by.';
      if (light) return `${dry ? 'Dry run: only the picture shows it. ' : ''}White, the end with cell 1 brighter; the others are down.`;
      return 'Nothing shows it now.';
    },

    walk: {
      /** @param {string | undefined} at where a walk was left; "" for one that is over */
      offer: (at) => (at ? `go on with the walk at ${at}` : at === '' ? 'what the last walk found' : 'walk from lamp to lamp'),
      beginWhat: 'each shows itself',
      /** @param {number} n @param {number} of */
      count: (n, of) => `${n} of ${of}`,
      end: 'end',
      found: 'found',
      foundWhat: 'right lamp, right end',
      missing: 'missing',
      missingWhat: 'dark, or another',
      next: 'next',
      nextWhat: 'come back to it',
      flip: 'flip',
      flipWhat: 'cell 1 is the other end',
      noEnds: 'has no ends',
      byLight: 'by light',
      byRDM: 'by RDM',
      again: 'show again',
      over: 'The walk is done',
      /** @param {number} found @param {number} missing @param {number} open */
      sum: (found, missing, open) => `${found} found, ${missing} missing${open ? `, ${open} not looked at` : ''}.`,
      open: 'not looked at',
      unserved: 'no node',
      turned: 'turned end to end',
      tryThis: 'its power, its data cable, the address at the lamp; then “found”',
      anew: 'walk again from the start',
    },

    found: {
      ask: 'ask the lamps',
      asking: 'asking, this takes some seconds',
      askWhat: 'by RDM; light may stutter',
      notAsked: 'No lamp has been asked yet. Lamps without RDM never answer: walk to those.',
      /** @param {number} n @param {number} right @param {number} devices */
      sum: (n, right, devices) => `${n} lamps in the plan, ${devices} found; ${right} as planned, ${n - right} not.`,
      right: 'Every lamp is as the plan has it.',
      /** @param {number} n */
      set: (n) => (n === 0 ? 'nothing chosen to set' : n === 1 ? 'set 1 lamp as planned' : `set ${n} lamps as planned`),
      setting: 'setting, reading back',
      caution: 'A lamp may jump or go dark for a moment while it is set: nobody works on a ladder or under a lamp now.',
      /** @param {number} n */
      yes: (n) => (n === 1 ? 'yes, set it' : `yes, set ${n}`),
      no: 'no',
      see: 'see',
      /** @param {string} name */
      setThis: (name) => `Set ${name}`,
      nodes: 'Nodes',
      /** @param {Array<string | number>} list */
      ports: (list) => (list.length ? `puts out ${list.join(', ')}` : 'puts out nothing'),
      /** @param {number} n @param {number} silent */
      devices: (n, silent) => `${n === 1 ? '1 lamp' : `${n} lamps`} answered by RDM${silent ? `, ${silent} not any more` : ''}`,
      /** @param {string[]} ports */
      unserved: (ports) => `No node puts out ${ports.join(', ')}, which lamps here are on.`,
      details: 'nodes in full',
      meter: 'meter and floor light',
    },

    numbers: {
      start: 'number from',
      /** @param {number} n */
      give: (n) => `number them: ${n === 1 ? '1 lamp changes' : `${n} lamps change`}`,
      same: 'they are numbered like that',
      end: 'the addresses end before the lamps do',
      /** @param {string} address */
      was: (address) => (address ? `was ${address}` : 'had none'),
      caution: 'This changes the plan. The lamps keep what they are set to until they are set: “found” does that by RDM, hands do it at lamps without.',
      yes: 'write them',
      /** @param {string} address @param {number} last */
      slots: (address, last) => `${address} to ${String(last).padStart(3, '0')}`,
    },

    power: {
      none: 'no circuit named',
      /** @param {number} watts */
      load: (watts) => `${Math.round(watts)} W`,
      /** @param {number} at230 @param {number} at120 */
      draws: (at230, at120) => `${at230.toFixed(1)} A at 230 V, ${at120.toFixed(1)} A at 120 V`,
      /** @param {number} n */
      silent: (n) => (n === 1 ? '1 lamp states no power' : `${n} lamps state no power`),
      what: 'All lamps at full, as their types state it, at a power factor of 0.9; small and cheap ones draw more current. What else hangs on a circuit counts too, and switching on draws several times as much for a moment.',
      caution: 'Plan for no more than 80 % of what a breaker is rated for. Mains, generators and anything near water are for people licensed for it, behind a residual-current device; local code goes first.',
    },
  },

  paint: {
    plan: 'Plan of the location, in the light of the look that is painted',
    /** @param {number} n */
    chosen: (n) => (n === 1 ? '1 cell' : `${n} cells`),
    look: 'look',
    camera: 'camera',
    live: 'live',
    notLive: (/** @type {string} */ why) => `Not on the set: ${why}.`,
    blind: 'blind',
    groups: 'Groups',
    everyOther: 'every other',
    firstHalf: 'this half',
    secondHalf: 'that half',
    none: 'none',
    newGroup: 'as a new group',
    make: 'name it',
    begin: 'Tap lamps on the plan, drag over some, or take a group. Then choose what they wear.',
    patterns: 'Patterns',
    pattern: { solid: 'one', alternate: 'alternate', halves: 'halves', gradient: 'gradient', mirror: 'mirror' },
    colours: 'Colours of the pattern',
    more: 'one more colour',
    fewer: 'one colour less',
    tab: { cast: 'cast', map: 'map', white: 'white' },
    noCast: 'Nobody owns colours yet. Write a cast in show.yaml, or take a colour from the map.',
    wears: 'worn by this look',
    map: 'Colour, on the chart of CIE 1976',
    /** @param {number} u @param {number} v */
    uv: (u, v) => `u' ${decimal(u, 3)}, v' ${decimal(v, 3)}`,
    whites: 'White: temperature along, tint across',
    /** @param {number} kelvin @param {number} tint */
    white: (kelvin, tint) => `${kelvin} K${tint ? `, tint ${tint > 0 ? '+' : '−'}${decimal(Math.abs(tint), 3)} ${tint > 0 ? 'greener' : 'pinker'}` : ''}`,
    levelLabel: 'Level',
    levelKinds: 'What the level is written in',
    kind: { share: '%', stops: 'stops', under: 'under a group', lux: 'lux' },
    /** @param {'share' | 'stops' | 'under' | 'lux'} kind @param {number} value */
    level: (kind, value) =>
      kind === 'share' ? `${Number(value.toFixed(1))} %`
        : kind === 'lux' ? `${Math.round(value)} lx`
          : `${value > 0 ? '+' : value < 0 ? '−' : ''}${decimal(Math.abs(value), 1)} stops`,
    under: 'under',
    at: 'at',
    darker: 'darker',
    brighter: 'brighter',
    undo: 'undo',
    redo: 'redo',
    drop: 'let go',
    /** @param {number} n groups painted */
    save: (n) => (n === 0 ? 'saved' : 'save'),
    write: 'write it',
    changes: 'Saving changes this in the files:',
    looks: 'and the light of these looks:',
    /** @param {string} place */
    here: (place) => `at ${place} alone`,
    /** @param {Array<{lamp: string, delta_uv: number}>} misses */
    misses: (misses) => {
      const worst = misses.reduce((a, b) => (b.delta_uv > a.delta_uv ? b : a));
      const rest = new Set(misses.map((m) => m.lamp)).size - 1;
      return `${words(worst.lamp)} cannot follow: ${decimal(worst.delta_uv, 3)} off in u'v'${rest > 0 ? `, and ${rest} more` : ''}`;
    },
    /** @param {{group: string, asked: string, off_stops: number}} l */
    off: (l) => `${words(l.group)} comes to ${decimal(Math.abs(l.off_stops), 1)} stops ${l.off_stops > 0 ? 'over' : 'under'} ${l.asked}`,
  },

  strip: {
    label: 'Cue sheet in shooting order',
    empty: 'No looks yet. Write looks in show.yaml or in the location, and they line up here.',
    /** @param {number} cue */
    cue: (cue) => `cue ${cue}`,
    onSet: 'on set',
    standby: 'standing by',
    /** @param {{cue: number, look: string, onSet: boolean, standby: boolean, time: string}} p */
    item: (p) =>
      [p.cue ? `cue ${p.cue}` : 'look', words(p.look), p.time, p.onSet && 'on set', p.standby && 'standing by']
        .filter(Boolean)
        .join(', '),
  },

  pad: {
    /** @type {Record<string, string>} */
    word: {
      lost: 'link lost', refused: 'refused', killed: 'all killed', sent: 'sent', riding: 'riding', held: 'held',
      counting: 'counting in', running: 'running', done: 'on set', dry: 'standing by, dry', standby: 'standing by', empty: 'nothing stands by',
    },
    /** @type {Record<string, string>} */
    hint: {
      lost: 'what shows is as last seen', killed: 'tap runs it', sent: 'waiting for the answer',
      riding: 'let go: it holds there', held: 'tap goes on', counting: 'tap ends the count', running: 'tap holds', done: '',
      dry: 'tap runs; no lamp follows', standby: 'tap runs, slide up rides',
    },
    looking: 'looking for the daemon',
    empty: 'Tap a look above and it stands by here.',
    /** @param {string} ms */
    left: (ms) => `${ms} left`,
    /** @param {number} cue */
    cue: (cue) => `cue ${cue}`,
    snap: 'in no time',
    /** @param {string} length */
    countIn: (length) => `counted in, ${length}`,
    worklightOn: 'work light is on; a cue ends it',
    /** @param {string} lamp */
    pointing: (lamp) => `${lamp} is pointed at; a cue ends it`,
    stands: 'light is held: H goes on',
    /** @param {number} cue @param {number} ms */
    follow: (cue, ms) => `cue ${cue} follows in ${remaining(ms)}`,
    /** @param {number | undefined} cue @param {string} look */
    next: (cue, look) => (cue ? `then cue ${cue}, ${words(look)}` : `then ${words(look)}`),
    nothing: { code: 'nothing-stands-by', message: 'nothing stands by', mend: 'tap a look in the strip first' },
  },

  side: {
    back: 'back',
    /** @param {string} look */
    backTo: (look) => `back: ${words(look)}`,
    backNone: 'back: nowhere to go yet',
    snap: 'snap',
    atOnce: 'at once',
    toEnd: 'to end',
    snapFade: 'snap to end: end the fade now',
    snapNext: 'snap at once: run the stand-by in no time',
    trimMore: 'longer fade',
    trimLess: 'shorter fade',
    trim: 'time of the fade',
    /** @param {string} c */
    count: (c) => (c ? `in ${c}` : 'no count'),
    /**
     * How a trimmed time stands to the written one.
     *
     * @param {number} writtenMs
     * @param {number} step
     */
    stepOf: (writtenMs, step) =>
      step === 0 ? 'as written'
        : writtenMs <= 0 ? 'longer'
          : { '-3': 'no time', '-2': 'a quarter', '-1': 'half', 1: 'double', 2: 'four times' }[step] ?? '',
  },

  foot: {
    worklight: 'work light',
    on: 'on',
    off: 'off',
    kill: 'kill',
    killHold: 'press, hold',
    killHolding: 'keep holding',
    killed: 'light again',
    killedTap: 'tap',
    killLabel: 'kill: press, hold to put every lamp out',
    killingLabel: 'kill: keep holding',
    killedLabel: 'light again: tap brings the light back',
    overall: 'overall',
  },

  details: {
    title: 'The line to the lamps',
    close: 'close',
    nodes: 'Nodes',
    noNodes: 'No node has answered. Check that node and phone are on the same network, or give its address with --artnet-to.',
    seen: 'seen',
    lost: 'lost',
    /** @param {number} ms */
    ago: (ms) => `${time(ms)} ago`,
    software: 'software node',
    /** @param {string} ports */
    ports: (ports) => `port-address ${ports}`,
    /** @param {{firmware?: string, mac?: string, indicators?: string, status?: string[]}} n */
    about: (n) =>
      [
        n.firmware && `firmware ${n.firmware}`, n.mac && `MAC ${n.mac}`,
        n.indicators && !['normal', 'unknown'].includes(n.indicators) && `indicators ${n.indicators}`, ...(n.status ?? []),
      ].filter(Boolean).join(', '),
    warnings: 'Warnings',
    noWarnings: 'None.',
    show: 'The show on disk',
    /** @param {{taken: number, last: string[], taken_ms: number}} f */
    taken: (f) => (f.taken ? `Read again ${time(f.taken_ms)} ago: ${f.last.join(', ')}` : 'As it was read at the start. It is read again as its files change.'),
    /** @param {number} n */
    notTaken: (n) => `What was saved has ${n === 1 ? 'a problem' : `${n} problems`} and is not taken in; see the warnings.`,
    /** @param {number} n */
    waits: (n) => (n === 1 ? 'A change waits for the cut.' : `${n} changes wait for the cut.`),
    output: 'Output',
    /** @param {{rate: number, universes: number, frames: number}} o */
    rate: (o) => `${o.universes} universes at ${o.rate} frames a second, ${o.frames} sent`,
    /** @param {{late_us_p99: number, skipped: number, send_errors: number}} o */
    late: (o) =>
      `99 of 100 frames within ${decimal(o.late_us_p99 / 1000, 1)} ms of their time, ${o.skipped} skipped, ${o.send_errors} not sent`,
    place: 'Location',
    here: 'here now',
    goTo: 'go there',
    dry: 'Dry run',
    dryOn: 'on: nothing is sent to the lamps',
    dryOff: 'off: the lamps follow',
    rehearse: 'Rehearse',
    rehearseWhat: 'the sheet in time',
    script: 'Colour script',
    scriptWhat: 'all looks in one table',
    /** @param {{source: string, from: string, command: string, ok: boolean, message?: string}} c */
    last: (c) => `Last: ${c.command}, by ${c.source}${c.from ? ` ${c.from}` : ''}${c.ok ? '' : `, refused: ${c.message}`}`,
    hand: 'Small controls',
    handRight: 'right of the pad',
    handLeft: 'left of the pad',
    keys: 'Keys',
    mend: 'mend it',
    page: 'The page',
    themeNow: 'theme',
    night: 'night',
    day: 'day, for a desk; a hot set stays dark',
    language: 'language',
    sleeps: 'This browser lets the screen sleep here. Set the phone to keep it on, or to the longest time it has.',
  },

  teach: {
    label: 'First steps',
    /** @type {Record<string, string>} */
    step: {
      flip: 'Tap the pad: the set flips to what stands by.',
      ride: 'Press the pad and slide up: the fade follows your thumb.',
      hold: 'Tap the pad, and tap it again on the way: the light is held there.',
      worklight: 'Tap work light: bright at once, so that people can walk.',
      back: 'Tap back: the look before comes again.',
      done: 'That is the job. Nothing here ever moves from its place.',
    },
    /** @param {number} n @param {number} of */
    count: (n, of) => `${n} of ${of}`,
    skip: 'skip',
    close: 'close',
  },

  script: {
    title: 'Colour script',
    about: 'All looks, place by place: who wears what, the key, and where it is used.',
    print: 'Print',
    loading: 'reading the looks',
    none: 'No looks yet. Write looks in show.yaml or in a location, and they line up here.',
    look: 'Look, and whose',
    key: 'Key',
    cues: 'Cues',
    colours: 'Colours, and how bright',
    on: 'on set',
    nobody: 'nobody',
    and: ' and ',
    noKey: 'dark',
    noCue: 'no cue',
    dark: 'dark',
    coloured: 'coloured',
    greenish: 'greenish',
    pinkish: 'pinkish',
    /** @param {{name: string, pattern: string, level: string, colours: {name: string}[]}} g */
    bar: (g) => `${words(g.name)}: ${g.colours.length > 1 ? `${g.pattern} ` : ''}${g.colours.map((c) => c.name).join(', ')} at ${g.level}`,
  },

  rehearse: {
    title: 'Rehearse',
    close: 'close',
    closeLabel: 'Close the rehearsal',
    toSet: 'to the set',
    line: 'The cue sheet in time',
    /** @param {number} ms @param {{cue: number, look: string, at: number} | null} there */
    where: (ms, there) => (there ? `${time(ms)}, cue ${there.cue}, ${words(there.look)}, ${percent(there.at)}` : time(ms)),
    /** @param {{cue: number, look: string, at: number}} there */
    cue: (there) => `cue ${there.cue}, ${words(there.look)}, ${percent(there.at)}`,
    /** @param {number} ms */
    onScreen: (ms) => `${time(ms)} on screen`,
    waiting: 'The cue sheet comes with the link.',
    noCues: 'No cues here yet. Write cues in the location, and they line up in time.',
    play: 'play',
    stop: 'stop',
    goDry: 'dry run',
    needsDry: 'the dry run has ended: lamps would follow',
    tap: 'tap the beat',
    noTempo: 'no tempo',
    /** @param {{bpm: number, beats_per_bar: number}} t */
    bpm: (t) => `${Math.round(t.bpm * 10) / 10}`,
    /** @type {Record<string, string>} */
    source: { show: 'tap: BPM', location: 'tap: BPM', set: 'tap: BPM', taps: 'tapped BPM' },
    countIn: 'count in',
    none: 'no',
    /** @param {string} c */
    countLabel: (c) => `Count in: ${c || 'no'}`,
    sound: 'sound',
    music: 'music',
    choose: 'file',
    change: 'change',
    mark: 'mark here',
    /** @param {number} cue */
    markCue: (cue) => `cue ${cue}`,
    allMarked: 'all are',
    unmark: 'no marks',
    noMusic: 'no music',
    /** @param {number} ms @param {string} music its name */
    latency: (ms, music) =>
      [
        music && `${music} stays on this phone`,
        ms > 90 ? `the link takes ${latency(ms)}: cues may come off the beat`
          : music && `cues go out ${Math.round(ms / 2)} ms ahead`,
      ].filter(Boolean).join('; '),
  },

  hot: {
    /** @param {string} take */
    rolls: (take) => `Hot set: take ${take} rolls.`,
    edits: 'What is edited now waits for the cut.',
    /** @param {number} n */
    waits: (n) => (n === 1 ? 'One change waits.' : `${n} changes wait.`),
    unkept: 'The take is not on the disk. Light goes on: write it down by hand, and free room on the disk.',
  },

  takes: {
    what: 'slate, roll and cut',
    none: 'Takes are not written down here. Run a show from its folder: linkboy serve SHOW.',
    noSlate: { code: 'no-slate', message: 'no scene and no slate are written down yet', mend: 'write them on the slate in Takes, then roll' },
    toWrite: 'to be written',
    nameFirst: 'Slate: write scene and slate first',
    slate: 'slate',
    roll: 'roll',
    cut: 'cut',
    /** @param {string} take */
    rollLabel: (take) => `Roll take ${take}; makes the set hot`,
    /** @param {string} take */
    cutLabel: (take) => `Cut take ${take}`,
    rollWhat: 'makes the set hot',
    scene: 'scene',
    slateName: 'slate',
    take: 'take',
    counts: 'counts up',
    byHand: 'by hand',
    setup: 'set-up',
    noSetup: 'none',
    kept: 'on the disk',
    keeping: 'being written down',
    unkept: 'not on the disk',
    note: 'note',
    save: 'save',
    circle: 'circle it',
    circled: 'circled',
    clip: 'camera clip',
    putRight: 'put the slate right',
    find: 'find',
    anyLook: 'any look',
    look: 'look',
    day: 'day',
    onlyCircled: 'circled',
    all: 'all takes',
    more: 'older takes',
    empty: 'No takes yet. Write scene and slate above and roll: what every lamp really gave is written down with each take.',
    nothing: 'No take is like that.',
    /** @param {number} shown @param {number} total */
    count: (shown, total) => (shown < total ? `${shown} of ${total} takes` : total === 1 ? '1 take' : `${total} takes`),
    export: 'to other programs',
    /** @type {Record<'csv' | 'edl' | 'tab' | 'json', [string, string]>} */
    forms: { csv: ['CSV', 'a row an event'], edl: ['EDL', 'for the edit'], tab: ['log', 'tab separated'], json: ['JSON', 'the list'] },
    reading: 'reading the takes',
    rolling: 'rolls',
    broken: 'the daemon stopped while it rolled',
    /** @param {number} n */
    lost: (n) => (n === 1 ? 'one moment was not written down' : `${n} moments were not written down`),
    /** @param {number} n */
    photos: (n) => (n === 1 ? '1 photo' : `${n} photos`),
    /** @param {string} take */
    open: (take) => `Take ${take}`,
    events: 'What was on',
    choose: 'Choose the moment that comes back, or is compared',
    asShot: 'as shot',
    /** @param {string} event */
    asShotWhat: (event) => `puts back ${event}`,
    fade: 'fade',
    fades: [['0 s', 'at once'], ['1 s', '1 s'], ['4 s', '4 s'], ['10 s', '10 s']],
    asShotHot: 'cut first: it would change the light of the take that rolls',
    /** @param {string} name @param {string} event */
    isOn: (name, event) => `${name} is on set, as it was at: ${event}`,
    differsNow: 'what differs now',
    differsWhat: 'against the set as it is',
    photo: 'photo',
    photoTake: 'take a photo',
    photoSending: 'sending the photo',
    /** @param {number} n @param {string} take */
    photoOf: (n, take) => `Photo ${n} of take ${take}; tap shows it larger`,
    shot: 'Shot with',
    tempo: 'Tempo',
    warnings: 'Warnings at roll',
    readings: 'What lamps told',
    /** @param {{bpm: number, beats_per_bar: number}} t */
    bpm: (t) => `${Math.round(t.bpm * 10) / 10} beats a minute, ${t.beats_per_bar} a bar`,
    camera: {
      /** @param {number} fps @param {number} timeline */
      fps: (fps, timeline) => (timeline && timeline !== fps ? `${fps} fps for ${timeline}` : `${fps} fps`),
    },
    event: {
      /** @param {string} look */
      roll: (look) => `roll, ${words(look) || 'no look'}`,
      /** @param {number} cue @param {string} look @param {number} ms */
      cue: (cue, look, ms) => [cue && `cue ${cue}`, words(look), ms > 0 ? time(ms) : 'at once'].filter(Boolean).join(', '),
      /** @param {string} look */
      settled: (look) => `${words(look)} is on`,
      /** @param {number} p */
      held: (p) => `held at ${percent(p)}`,
      /** @param {number} p */
      ride: (p) => `ridden to ${percent(p)}`,
      /** @param {number} p */
      overall: (p) => `overall ${percent(p)}`,
      /** @param {string} share */
      under: (share) => `overall ${share}`,
      /** @param {string} place */
      location: (place) => `to ${words(place)}`,
      /** @param {boolean} on */
      dry: (on) => (on ? 'dry run' : 'dry run ends'),
      /** @type {Record<string, string>} */
      plain: { resume: 'goes on', kill: 'all killed', 'work light': 'work light', restored: 'light is back', cut: 'cut' },
    },
    differs: {
      title: 'What differs now',
      lamp: 'lamp',
      light: 'light',
      shade: 'colour',
      asBright: 'as bright',
      /** @param {string} by */
      brighter: (by) => `${by} stop${by === '1.0' ? '' : 's'} brighter`,
      /** @param {string} by */
      darker: (by) => `${by} stop${by === '1.0' ? '' : 's'} darker`,
      /** @type {Record<string, string>} */
      state: { near: 'as it was', differs: 'differs', off: 'was lit, is dark', on: 'was dark, is lit', gone: 'is not here', new: 'was not there' },
      /** @param {number} uv @param {number} near */
      colour: (uv, near) => (uv <= near ? 'same colour' : `${uv <= 4 * near ? 'a shade off' : 'another colour'}, ${uv.toFixed(3)} u'v'`),
      /** @param {number} cell @param {string} light @param {string} colour */
      cell: (cell, light, colour) => `most at cell ${cell}: ${light}, ${colour}`,
      /** @param {string[]} what */
      other: (what) => `other ${what.join(', ')}`,
      /** @param {number} n */
      near: (n) => (n === 1 ? 'One lamp is as it was.' : `${n} lamps are as they were.`),
      same: 'Every lamp gives what it gave.',
      /** @param {number} stops @param {number} uv */
      within: (stops, uv) => `As it was means within ${stops} stop and ${uv} u'v'.`,
    },
    recalled: {
      /** @param {number} n */
      same: (n) => (n === 1 ? '1 lamp has the very bytes' : `${n} lamps have the very bytes`),
      /** @param {string} lamp @param {string} was @param {string} light @param {number} uv */
      solved: (lamp, was, light, uv) => `${lamp} was ${was}, mixed anew: ${light}, ${uv.toFixed(4)} u'v' off`,
      /** @param {string} names */
      missing: (names) => `not here any more: ${names}`,
      /** @param {string} names */
      spare: (names) => `not in the take, dark: ${names}`,
      /** @param {string} names */
      lifted: (names) => `held brighter by floor light: ${names}`,
    },
  },

  clicker: {
    title: 'Clicker keys',
    what: 'Press learn, then the key of your clicker or pedal. It is remembered on this device.',
    /** @type {Record<'run' | 'back' | 'take', string>} */
    action: { run: 'run, hold, go on', back: 'back', take: 'roll, cut' },
    learn: 'learn',
    waiting: 'press the key',
    /** @param {string} action */
    learnLabel: (action) => `Learn a key for ${action}`,
    forget: 'forget',
    /** @param {string} action */
    forgetLabel: (action) => `Forget the key for ${action}`,
    none: 'none learnt',
    /** @type {Record<string, string>} */
    names: { ' ': 'Space', PageDown: 'Page Down', PageUp: 'Page Up', ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down' },
    /** @param {string} key @param {string} action */
    learnt: (key, action) => `${key} does: ${action}`,
    notThat: 'that key is kept for closing and moving about: press another',
  },

  nextPlace: {
    title: 'Next place',
    /** @param {string} here */
    from: (here) => `made from ${here}`,
    name: 'name',
    address: 'first address',
    keep: 'as they are',
    /** @param {string} here */
    looks: (here) => `looks of ${here} come along`,
    cues: 'the cue sheet comes along',
    what: 'Lamps, groups and marks come along; walls and cameras stay behind. Lamps stand where they stood: move them in the rig.',
    make: 'make it',
    /** @param {string} name */
    made: (name) => `${name} is made. The set is as it was.`,
  },

  keys: {
    title: 'Keys',
    /** @type {Array<[string, string]>} */
    list: [
      ['Space or Page Down', 'run; hold; go on'],
      ['B or Page Up', 'back'],
      ['H', 'hold a fade and light that moves; go on'],
      ['S', 'snap'],
      ['Left and right', 'stand by the cue before, the cue after'],
      ['[ and ]', 'shorter fade, longer fade'],
      ['Shift with up or down', 'ride'],
      ['R', 'roll; cut'],
      ['C', 'count in: the next way'],
      ['T', 'takes'],
      ['W', 'work light'],
      ['K, held', 'kill; K again brings the light back'],
      ['- and +', 'overall'],
      ['I', 'nodes, warnings and settings'],
      ['M', 'meter'],
      ['?', 'these keys'],
      ['Escape', 'close'],
    ],
  },

  said: {
    /** @param {string} look @param {number} ms */
    running: (look, ms) => (ms > 0 ? `${words(look)} is running, ${time(ms)}` : `${words(look)} is on set`),
    /** @param {string} look */
    done: (look) => `${words(look)} is on set`,
    /** @param {number} progress */
    held: (progress) => `held at ${percent(progress)}`,
    goneOn: 'going on',
    /** @param {string} look @param {number | undefined} cue */
    standby: (look, cue) => (cue ? `cue ${cue}, ${words(look)}, stands by` : `${words(look)} stands by`),
    /** @param {{scene: string, slate: string, number: number} | null} t */
    rolls: (t) => (t ? `take ${t.scene} ${t.slate} ${t.number} rolls; the set is hot` : 'the set is hot'),
    /** @param {{scene: string, slate: string, number: number} | null} t */
    cut: (t) => (t ? `cut, take ${t.scene} ${t.slate} ${t.number}` : 'cut; the set is no longer hot'),
    killed: 'all killed',
    alive: 'light is back',
    worklight: 'work light on',
    worklightOff: 'work light off',
    /** @param {string} lamp */
    pointing: (lamp) => `${lamp} is pointed at`,
    lost: 'link lost',
    /** @param {number} ms */
    backAfter: (ms) => `link is back after ${time(ms)}; nothing was sent meanwhile`,
    /** @param {string} look */
    restarted: (look) => `the daemon was started anew; ${words(look) || 'nothing'} is on set`,
    /** @param {string[]} files */
    taken: (files) => `the show was read again: ${files.join(', ')}`,
    /** @param {number} n */
    broken: (n) => `what was saved has ${n === 1 ? 'a problem' : `${n} problems`}; the set stays as it is`,
    /** @param {string} name */
    nodeLost: (name) => `node ${name} is lost`,
    /** @param {string} name */
    nodeBack: (name) => `node ${name} is back`,
    /** @param {{message: string, mend?: string}} r */
    refused: (r) => `refused: ${r.message}${r.mend ? `; ${r.mend}` : ''}`,
  },

  /** The daemon speaks English. @type {import('./said-by-daemon.js').Catalogue} */
  daemon: { quotes: ['“', '”'], sentences: [], words: [] },
};
