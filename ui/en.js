// Every word of the page, in English. Another language is another file with
// the same keys.

import { latency, percent, remaining, time, words } from './format.js';

/** What a verb is called in a sentence that begins with it. @type {Record<string, string>} */
const VERBS = {
  cue: 'Run', standby: 'Stand by', hold: 'Hold', resume: 'Go on', snap: 'Snap', back: 'Back', ride: 'Ride',
  overall: 'Overall', worklight: 'Work light', kill: 'Kill', dry: 'Dry run', location: 'Change of location',
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

  picture: {
    /** @param {string} place @param {string} look */
    label: (place, look) => `Plan of ${words(place)} from above, lit as ${words(look) || 'nothing'}`,
    /** @param {string} place @param {string} look @param {string} setup */
    shot: (place, look, setup) => `${words(place)} from the camera of ${words(setup)}, lit as ${words(look) || 'nothing'}. Tap reads stops`,
    views: 'What the picture shows',
    plan: 'plan',
    bands: 'stops',
    glow: 'mist',
    /** @param {number} v @param {number} over */
    stops: (v, over) =>
      v < -12 ? 'black'
        : v >= over ? 'clips'
          : Math.abs(v) < 0.05 ? 'at grey'
            : `${Math.abs(v).toFixed(1)} ${v > 0 ? 'over' : 'under'}`,
    stopped: 'the graphics of this device have stopped; load the page again',
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

  paint: {
    plan: 'Plan of the location, in the light of the look that is painted',
    /** @param {number} n */
    chosen: (n) => (n === 1 ? '1 cell' : `${n} cells`),
    look: 'look',
    camera: 'camera',
    live: 'live',
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
    uv: (u, v) => `u' ${u.toFixed(3)}, v' ${v.toFixed(3)}`,
    whites: 'White: temperature along, tint across',
    /** @param {number} kelvin @param {number} tint */
    white: (kelvin, tint) => `${kelvin} K${tint ? `, tint ${tint > 0 ? '+' : '−'}${Math.abs(tint).toFixed(3)} ${tint > 0 ? 'greener' : 'pinker'}` : ''}`,
    levelLabel: 'Level',
    levelKinds: 'What the level is written in',
    kind: { share: '%', stops: 'stops', under: 'under a group', lux: 'lux' },
    /** @param {'share' | 'stops' | 'under' | 'lux'} kind @param {number} value */
    level: (kind, value) =>
      kind === 'share' ? `${Number(value.toFixed(1))} %`
        : kind === 'lux' ? `${Math.round(value)} lx`
          : `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(value).toFixed(1)} stops`,
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
    /** @param {string} place */
    here: (place) => `at ${place} alone`,
    /** @param {Array<{lamp: string, delta_uv: number}>} misses */
    misses: (misses) => {
      const worst = misses.reduce((a, b) => (b.delta_uv > a.delta_uv ? b : a));
      const rest = new Set(misses.map((m) => m.lamp)).size - 1;
      return `${words(worst.lamp)} cannot follow: ${worst.delta_uv.toFixed(3)} off in u'v'${rest > 0 ? `, and ${rest} more` : ''}`;
    },
    /** @param {{group: string, asked: string, off_stops: number}} l */
    off: (l) => `${words(l.group)} comes to ${Math.abs(l.off_stops).toFixed(1)} stops ${l.off_stops > 0 ? 'over' : 'under'} ${l.asked}`,
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
      running: 'running', done: 'on set', dry: 'standing by, dry', standby: 'standing by', empty: 'nothing stands by',
    },
    /** @type {Record<string, string>} */
    hint: {
      lost: 'what shows is as last seen', killed: 'tap runs it', sent: 'waiting for the answer',
      riding: 'let go: it holds there', held: 'tap goes on', running: 'tap holds', done: '',
      dry: 'tap runs; no lamp follows', standby: 'tap runs, slide up rides',
    },
    looking: 'looking for the daemon',
    empty: 'Tap a look above and it stands by here.',
    /** @param {string} ms */
    left: (ms) => `${ms} left`,
    /** @param {number} cue */
    cue: (cue) => `cue ${cue}`,
    snap: 'in no time',
    worklightOn: 'work light is on; a cue ends it',
    /** @param {number} cue @param {number} ms */
    follow: (cue, ms) => `cue ${cue} follows in ${remaining(ms)}`,
    /** @param {number | undefined} cue @param {string} look */
    next: (cue, look) => (cue ? `then cue ${cue}, ${words(look)}` : `then ${words(look)}`),
    nothing: { code: 'nothing-stands-by', message: 'nothing stands by', mend: 'tap a look in the strip first' },
    /** @param {string} what @param {string} hint */
    label: (what, hint) => (hint ? `${what}. ${hint}` : what),
  },

  side: {
    back: 'back',
    /** @param {string} look */
    backTo: (look) => `back to ${words(look)}`,
    backNone: 'back: nowhere to go yet',
    snap: 'snap',
    atOnce: 'at once',
    toEnd: 'to end',
    snapFade: 'snap: end the fade now',
    snapNext: 'snap: run the stand-by in no time',
    trimMore: 'longer fade',
    trimLess: 'shorter fade',
    trim: 'time of the fade',
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
    killLabel: 'Kill: press and hold to put every lamp out',
    killedLabel: 'Bring the light back',
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
    output: 'Output',
    /** @param {{rate: number, universes: number, frames: number}} o */
    rate: (o) => `${o.universes} universes at ${o.rate} frames a second, ${o.frames} sent`,
    /** @param {{late_us_p99: number, skipped: number, send_errors: number}} o */
    late: (o) =>
      `99 of 100 frames within ${(o.late_us_p99 / 1000).toFixed(1)} ms of their time, ${o.skipped} skipped, ${o.send_errors} not sent`,
    place: 'Location',
    here: 'here now',
    goTo: 'go there',
    dry: 'Dry run',
    dryOn: 'on: nothing is sent to the lamps',
    dryOff: 'off: the lamps follow',
    hand: 'Small controls',
    handRight: 'right of the pad',
    handLeft: 'left of the pad',
    keys: 'Keys',
  },

  keys: {
    title: 'Keys',
    /** @type {Array<[string, string]>} */
    list: [
      ['Space or Page Down', 'run; hold; go on'],
      ['B or Page Up', 'back'],
      ['S', 'snap'],
      ['Left and right', 'stand by the cue before, the cue after'],
      ['[ and ]', 'shorter fade, longer fade'],
      ['Shift with up or down', 'ride'],
      ['W', 'work light'],
      ['K, held', 'kill; K again brings the light back'],
      ['- and +', 'overall'],
      ['I', 'nodes, warnings and settings'],
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
    killed: 'all killed',
    alive: 'light is back',
    worklight: 'work light on',
    worklightOff: 'work light off',
    lost: 'link lost',
    back: 'link is back',
    /** @param {string} name */
    nodeLost: (name) => `node ${name} is lost`,
    /** @param {string} name */
    nodeBack: (name) => `node ${name} is back`,
    /** @param {{message: string, mend?: string}} r */
    refused: (r) => `refused: ${r.message}${r.mend ? `; ${r.mend}` : ''}`,
  },
};
