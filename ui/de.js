// Every word of the page, in German as crews speak it. The same keys as en.js; a key that
// is not here yet stands in `lacks` and is shown in English.

import { decimal, latency, percent, remaining, time, withPoint, words } from './format.js';

/**
 * Texts of which some may be missing.
 *
 * @template T
 * @typedef {{[K in keyof T]?: T[K] extends (...args: infer A) => string ? (...args: A) => string : T[K] extends Function | any[] ? T[K] : T[K] extends object ? Some<T[K]> : T[K]}} Some
 */

/** Texts that are shown in English until somebody translates them, like 'paint.undo', or all of 'paint'. @type {string[]} */
export const lacks = ['places.takes', 'rig', 'side.count', 'hot', 'takes', 'clicker', 'said.rolls', 'said.cut'];

/** What a verb is called in a sentence that begins with it. @type {Record<string, string>} */
const VERBS = {
  cue: 'Fahren', standby: 'Bereitstellen', hold: 'Halten', resume: 'Weiter', snap: 'Sofort', back: 'Zurück', ride: 'Von Hand',
  overall: 'Gesamt', worklight: 'Arbeitslicht', kill: 'Alles aus', dry: 'Trockenlauf', location: 'Motivwechsel', tempo: 'Tempo', setup: 'Einstellung', watch: 'Messen',
};

/** @type {Record<string, string>} */
const CHANNELS = { red: 'Rot', green: 'Grün', blue: 'Blau' };

/** @type {Some<typeof import('./en.js').en>} */
export const de = {
  title: 'linkboy',

  link: {
    opening: 'verbindet',
    up: 'verbunden',
    lost: 'getrennt',
    sent: 'gesendet',
    pairing: 'koppelt',
    accepted: (ms) => `angenommen ${latency(ms, 'unter')}`,
    notSent: (verb) => `${VERBS[verb] ?? verb} ging nicht raus: keine Verbindung`,
    notSentMend: 'auf die Verbindung warten, dann noch einmal',
    noAnswer: 'die Verbindung riss ab, bevor die Antwort kam',
    noAnswerMend: 'ansehen, was nach der Verbindung an ist, dann entscheiden',
  },

  status: {
    open: 'Nodes, Warnungen und Einrichtung',
    noPlace: 'noch kein Motiv',
    nodes: (n) => (n === 1 ? '1 Node' : `${n} Nodes`),
    nodesLost: (names, n) => (names.length === 1 ? `1 Node weg: ${names[0]}` : `${names.length} von ${n} Nodes weg`),
    noNodes: 'keine Nodes',
    dry: 'trocken',
    hot: 'Take läuft',
    warnings: (n) => (n === 1 ? '1 Warnung' : `${n} Warnungen`),
  },

  picture: {
    label: (place, look) => `Plan von ${words(place)} von oben, im Licht von ${words(look) || 'nichts'}`,
    shot: (place, look, setup) => `${words(place)} durch die Kamera von ${words(setup)}, im Licht von ${words(look) || 'nichts'}. Tippen liest Blenden`,
    views: 'Was das Bild zeigt',
    plan: 'Plan',
    bands: 'Blenden',
    glow: 'Dunst',
    stops: (v, over) =>
      v < -12 ? 'schwarz'
        : v >= over ? 'clippt'
          : Math.abs(v) < 0.05 ? 'auf Grau'
            : `${decimal(Math.abs(v), 1)} ${v > 0 ? 'drüber' : 'drunter'}`,
    cannot: (why) => `Der Plan, nicht das Bild der Kamera: ${why}.`,
    until: (stage, setups) =>
      stage === '' || stage === 'none' ? 'Der Plan. Für das Bild der Kamera wird hier kein Licht gerechnet.'
        : stage === 'failed' ? 'Der Plan. Das Licht dieses Motivs ließ sich nicht rechnen; die Warnungen sagen, warum.'
          : stage === 'computing' || setups > 0 ? 'Der Plan, solange das Licht dieses Motivs gerechnet wird.'
            : 'Der Plan, bis das Bild der Kamera da ist.',
    waiting: 'Der Plan kommt mit der Verbindung.',
    noLamps: 'Noch keine Lampen. Lampen ins Rig dieses Motivs setzen, dann stehen sie auf dem Plan.',
    stale: 'zuletzt gesehen',
    blind: 'auf der Linie, nicht am Set',
    trying: 'wie gemalt, nicht am Set',
  },

  setup: {
    title: 'Einstellung',
    here: 'jetzt eingerichtet',
    asWritten: 'Looks wie geschrieben',
    viewOnly: (view, shot) => `Nur das Bild: ${words(view)}. Am Set: ${words(shot)}.`,
    setUp: (view) => `${words(view)} einrichten`,
  },

  meter: {
    title: 'Messen',
    of: (look) => (look ? `Messen, ${words(look)}` : 'Messen, kein Look an'),
    open: 'Messen',
    stale: 'Zuletzt gelesen: keine Verbindung.',
    noMarks: 'Keine Marken hier. Marken ins Motiv schreiben, dann werden sie gemessen.',
    note: 'Gerechnet aus dem Plan und den Bytes, die rausgehen. Verschobene Lampen, helle Kleidung, nasser Boden fehlen darin: vor dem Take die Führung messen, und den Boden, bevor jemand im Dunkeln läuft.',
    waiting: {
      none: 'Hier wird kein Licht gerechnet, also gibt es nichts zu messen.',
      failed: 'Das Licht dieses Motivs ließ sich nicht rechnen, also gibt es nichts zu messen. Die Warnungen sagen, warum.',
      computing: 'Das Licht dieses Motivs wird gerechnet. Gemessen wird erst, wenn es ganz da ist.',
      reading: 'Das Licht ist da. Marken und Boden werden gelesen.',
      steps: ['ein erster Blick', 'Licht direkt von Lampen', 'Licht, das Flächen zurückwerfen', 'lesen'],
      done: 'fertig',
      now: 'läuft',
      open: '',
      note: 'Es wird für das nächste Mal behalten. Das Set läuft derweil.',
    },
    exposed: (r, exposure) =>
      `${words(r.setup)}: T${withPoint(r.camera.stop)}, ISO ${r.camera.iso}, ${withPoint(r.camera.fps)} B/s, ${withPoint(Math.round(r.camera.shutter_deg * 10) / 10)}° (${exposure}), ${r.camera.balance_k} K`,
    mark: (name) => `Marke ${words(name)}`,
    noStop: (lux) => (lux > 0 ? 'unter T0,7' : 'dunkel'),
    tenths: (n) => (n ? `und ${n}/10` : 'und 0'),
    over: (over, stop) =>
      over < -20 ? 'kein Licht' : Math.abs(over) < 0.05 ? `wie belichtet bei T${withPoint(stop)}` : `${decimal(Math.abs(over), 1)} ${over > 0 ? 'über' : 'unter'} T${withPoint(stop)}`,
    facing: (lux) => `${lux}, zur Kamera`,
    ratio: 'Führung : Füllung',
    sumRatio: (ratio) => `Füllung ist alles Licht außer der Führung, zur Kamera; (Führung + Füllung) : Füllung ist ${withPoint(ratio)} : 1`,
    groups: 'Gruppen, jede allein und zu ihr, unter der Führung',
    under: (g) =>
      g.is_key ? 'die Führung'
        : g.stops_under_key === undefined ? ''
          : Math.abs(g.stops_under_key) < 0.05 ? 'wie die Führung'
            : `${decimal(Math.abs(g.stops_under_key), 1)} ${g.stops_under_key > 0 ? 'drunter' : 'drüber'}`,
    shadow: (stops) => `Wer an der Kamera steht, nimmt ${decimal(stops, 1)} Blenden weg. Eine Lampe höher, oder neben ihrem Weg stehen.`,
    spot: (s) => {
      const what = s.name === 'white' ? 'weißer Stoff' : s.name;
      const channel = CHANNELS[s.hottest] ?? s.hottest;
      if (s.stops_over_grey.every((v) => v === null)) return `${what}: dunkel`;
      return s.clip_margin_stops > 0
        ? `${what}: ${decimal(s.clip_margin_stops, 1)} Blenden, bis ${channel} clippt`
        : `${what} clippt in ${channel}, um ${decimal(-s.clip_margin_stops, 1)} Blenden`;
    },
    inShot: 'Lampen im Bild, Blenden über dem Clippen',
    noneInShot: 'Keine brennende Lampe im Bild.',
    clips: (by) => `weiß um ${decimal(by, 1)}`,
    keeps: (share, channel) => `clippt in ${CHANNELS[channel] ?? channel}; hält die Farbe bei ${share >= 0.1 ? Math.round(share * 100) : decimal(share * 100, 1)} % von jetzt`,
    kept: (names) => `Halten die Farbe: ${names}`,
    floor: 'Boden, wo er am dunkelsten ist',
    floorAt: (f) => `auf ${words(f.walk)}, ${decimal(f.at[0], 1)} m rechts und ${decimal(f.at[1], 1)} m hoch im Plan`,
    floorUnder: (limit) => `Unter ${withPoint(limit)} lx: in diesem Licht läuft niemand. Bodenlicht oder Arbeitslicht hoch. Örtliche Vorschriften gehen vor.`,
    floorOver: (limit) => `Gewarnt wird unter ${withPoint(limit)} lx. Örtliche Vorschriften gehen vor.`,
    shutter: 'Verschluss',
    mains: (f) =>
      f.safe ? `Netzlampen bei ${f.mains_hz} Hz: sicher`
        : f.nearest_safe_deg === undefined ? `Netzlampen bei ${f.mains_hz} Hz: bei dieser Bildrate ist kein Winkel sicher`
          : f.beat_hz === 0 ? `Netzlampen bei ${f.mains_hz} Hz: Bilder sind gleich, ein Rolling Shutter kann Streifen zeigen; sicher bei ${decimal(f.nearest_safe_deg, 1)}°`
            : `Netzlampen bei ${f.mains_hz} Hz: Bilder schwanken um ${Math.round(f.ripple * 100)} %, ${withPoint(Number(f.beat_hz.toPrecision(2)))} mal pro Sekunde; sicher bei ${decimal(f.nearest_safe_deg, 1)}°`,
    flip: (f) =>
      `Umschalten ohne Zeit, ${f.readout_ms > 0 ? `Auslesen in ${Math.round(f.readout_ms)} ms` : 'alle Zeilen auf einmal'}: ${Math.round(f.split_share * 100)} % zeigen es geteilt oder gemischt`,
    stepping: (cue, verdict) => `Cue ${cue} ist nicht glatt, ${verdict}:`,
    times: 'Überblendungen in diesen Look',
    speed: (c) => `${withPoint(c.fps)} B/s bei ${withPoint(c.timeline_fps ?? '')} im Schnitt: läuft mit ${Math.round((c.speed ?? 1) * 100)} % der Geschwindigkeit`,
    fade: (t, real, screen) => `Cue ${t.cue}, ${t.asked}: ${real} am Set, ${Math.round(t.frames)} Bilder${screen && `, ${screen} im Bild`}`,
  },

  places: {
    label: 'Orte der Seite',
    set: 'Set',
    paint: 'Malen',
    rig: 'Rig',
    loading: 'kommt',
    locked: 'Der Take läuft: bis zum Aus lässt sich nichts ändern.',
  },

  paint: {
    plan: 'Plan des Motivs, im Licht des Looks, der gemalt wird',
    chosen: (n) => (n === 1 ? '1 Zelle' : `${n} Zellen`),
    look: 'Look',
    camera: 'Kamera',
    live: 'live',
    notLive: (why) => `Nicht am Set: ${why}.`,
    blind: 'blind',
    groups: 'Gruppen',
    everyOther: 'jede zweite',
    firstHalf: 'diese Hälfte',
    secondHalf: 'andere Hälfte',
    none: 'keine',
    newGroup: 'als neue Gruppe',
    make: 'benennen',
    begin: 'Lampen auf dem Plan antippen, über einige ziehen oder eine Gruppe nehmen. Dann wählen, was sie tragen.',
    patterns: 'Muster',
    pattern: { solid: 'eins', alternate: 'Wechsel', halves: 'Hälften', gradient: 'Verlauf', mirror: 'Spiegel' },
    colours: 'Farben des Musters',
    more: 'eine Farbe mehr',
    fewer: 'eine Farbe weniger',
    tab: { cast: 'Figuren', map: 'Karte', white: 'Weiß' },
    noCast: 'Noch gehört niemandem eine Farbe. Figuren in show.yaml schreiben, oder eine Farbe von der Karte nehmen.',
    wears: 'trägt dieser Look',
    map: 'Farbe, auf der Tafel der CIE 1976',
    uv: (u, v) => `u' ${decimal(u, 3)}, v' ${decimal(v, 3)}`,
    whites: 'Weiß: Temperatur längs, Tönung quer',
    white: (kelvin, tint) => `${kelvin} K${tint ? `, Tönung ${tint > 0 ? '+' : '−'}${decimal(Math.abs(tint), 3)} ${tint > 0 ? 'grüner' : 'rosa'}` : ''}`,
    levelLabel: 'Helligkeit',
    levelKinds: 'Worin die Helligkeit steht',
    kind: { share: '%', stops: 'Blenden', under: 'unter Gruppe', lux: 'Lux' },
    level: (kind, value) =>
      kind === 'share' ? `${withPoint(Number(value.toFixed(1)))} %`
        : kind === 'lux' ? `${Math.round(value)} lx`
          : `${value > 0 ? '+' : value < 0 ? '−' : ''}${decimal(Math.abs(value), 1)} Blenden`,
    under: 'unter',
    at: 'an',
    darker: 'dunkler',
    brighter: 'heller',
    undo: 'zurück',
    redo: 'wieder',
    drop: 'verwerfen',
    save: (n) => (n === 0 ? 'gesichert' : 'sichern'),
    write: 'schreiben',
    changes: 'Sichern ändert das in den Dateien:',
    looks: 'und das Licht dieser Looks:',
    here: (place) => `nur in ${place}`,
    misses: (misses) => {
      const worst = misses.reduce((a, b) => (b.delta_uv > a.delta_uv ? b : a));
      const rest = new Set(misses.map((m) => m.lamp)).size - 1;
      return `${words(worst.lamp)} kommt nicht hin: ${decimal(worst.delta_uv, 3)} daneben in u'v'${rest > 0 ? `, und ${rest} weitere` : ''}`;
    },
    off: (l) => `${words(l.group)} landet ${decimal(Math.abs(l.off_stops), 1)} Blenden ${l.off_stops > 0 ? 'über' : 'unter'} ${l.asked}`,
  },

  strip: {
    label: 'Cues in Drehfolge',
    empty: 'Noch keine Looks. Looks in show.yaml oder ins Motiv schreiben, dann stehen sie hier.',
    cue: (cue) => `Cue ${cue}`,
    onSet: 'am Set',
    standby: 'bereit',
    item: (p) =>
      [p.cue ? `Cue ${p.cue}` : 'Look', words(p.look), p.time, p.onSet && 'am Set', p.standby && 'bereit'].filter(Boolean).join(', '),
  },

  pad: {
    word: {
      lost: 'getrennt', refused: 'abgelehnt', killed: 'alles aus', sent: 'gesendet', riding: 'von Hand', held: 'gehalten',
      counting: 'wird eingezählt', running: 'läuft', done: 'am Set', dry: 'bereit, trocken', standby: 'bereit', empty: 'nichts bereit',
    },
    hint: {
      lost: 'zu sehen ist der letzte Stand', killed: 'Tippen fährt', sent: 'wartet auf Antwort',
      riding: 'loslassen hält hier', held: 'Tippen: weiter', counting: 'Tippen bricht ab', running: 'Tippen hält', done: '',
      dry: 'Tippen fährt; keine Lampe folgt', standby: 'Tippen fährt, Ziehen führt',
    },
    looking: 'sucht den Daemon',
    empty: 'Oben einen Look antippen, dann steht er hier bereit.',
    left: (left) => `noch ${left}`,
    cue: (cue) => `Cue ${cue}`,
    snap: 'ohne Zeit',
    countIn: (length) => `eingezählt, ${length}`,
    worklightOn: 'Arbeitslicht an; ein Cue beendet es',
    pointing: (lamp) => `${lamp} zeigt sich; ein Cue beendet es`,
    stands: 'Licht gehalten: H geht weiter',
    follow: (cue, ms) => `Cue ${cue} folgt in ${remaining(ms)}`,
    next: (cue, look) => (cue ? `dann Cue ${cue}, ${words(look)}` : `dann ${words(look)}`),
    nothing: { code: 'nothing-stands-by', message: 'nichts steht bereit', mend: 'erst oben einen Look antippen' },
  },

  side: {
    back: 'zurück',
    backTo: (look) => `zurück: ${words(look)}`,
    backNone: 'zurück: noch kein Look davor',
    snap: 'sofort',
    atOnce: 'jetzt',
    toEnd: 'ans Ende',
    snapFade: 'sofort ans Ende: Überblendung jetzt beenden',
    snapNext: 'sofort jetzt: was bereit steht, ohne Zeit fahren',
    trimMore: 'längere Überblendung',
    trimLess: 'kürzere Überblendung',
    trim: 'Zeit der Überblendung',
    stepOf: (writtenMs, step) =>
      step === 0 ? 'wie notiert'
        : writtenMs <= 0 ? 'länger'
          : { '-3': 'ohne Zeit', '-2': 'ein Viertel', '-1': 'halb', 1: 'doppelt', 2: 'vierfach' }[step] ?? '',
  },

  foot: {
    worklight: 'Arbeitslicht',
    on: 'an',
    off: 'aus',
    kill: 'alles aus',
    killHold: 'halten',
    killHolding: 'noch halten',
    killed: 'Licht an',
    killedTap: 'tippen',
    killLabel: 'alles aus: halten, dann geht jede Lampe aus',
    killingLabel: 'alles aus: noch halten',
    killedLabel: 'Licht an: tippen bringt das Licht zurück',
    overall: 'gesamt',
  },

  details: {
    title: 'Leitung zu den Lampen',
    close: 'zu',
    nodes: 'Nodes',
    noNodes: 'Kein Node hat geantwortet. Sind Node und Telefon im selben Netz? Sonst die Adresse mit --artnet-to geben.',
    seen: 'gesehen vor',
    lost: 'weg seit',
    ago: (ms) => time(ms),
    software: 'Software-Node',
    ports: (ports) => `Port-Address ${ports}`,
    about: (n) =>
      [
        n.firmware && `Firmware ${n.firmware}`, n.mac && `MAC ${n.mac}`,
        n.indicators && !['normal', 'unknown'].includes(n.indicators) && `Anzeigen ${n.indicators}`, ...(n.status ?? []),
      ].filter(Boolean).join(', '),
    warnings: 'Warnungen',
    noWarnings: 'Keine.',
    show: 'Die Show auf der Platte',
    taken: (f) => (f.taken ? `Vor ${time(f.taken_ms)} neu gelesen: ${f.last.join(', ')}` : 'Wie beim Start gelesen. Bei jeder Änderung ihrer Dateien wird sie neu gelesen.'),
    notTaken: (n) => `Das Gesicherte hat ${n === 1 ? 'einen Fehler' : `${n} Fehler`} und wird nicht übernommen; siehe Warnungen.`,
    waits: (n) => (n === 1 ? 'Eine Änderung wartet auf das Aus.' : `${n} Änderungen warten auf das Aus.`),
    output: 'Ausgabe',
    rate: (o) => `${o.universes} Universen, ${o.rate} Frames pro Sekunde, ${o.frames} gesendet`,
    late: (o) =>
      `99 von 100 Frames höchstens ${decimal(o.late_us_p99 / 1000, 1)} ms zu spät, ${o.skipped} ausgelassen, ${o.send_errors} nicht gesendet`,
    place: 'Motiv',
    here: 'hier',
    goTo: 'dorthin',
    dry: 'Trockenlauf',
    dryOn: 'an: zu den Lampen geht nichts',
    dryOff: 'aus: die Lampen folgen',
    rehearse: 'Proben',
    rehearseWhat: 'die Cues in der Zeit',
    last: (c) => `Zuletzt: ${c.command}, von ${c.source}${c.from ? ` ${c.from}` : ''}${c.ok ? '' : `, abgelehnt: ${c.message}`}`,
    script: 'Farbbuch',
    scriptWhat: 'alle Looks in einer Tafel',
    hand: 'Kleine Knöpfe',
    handRight: 'nach rechts vom Feld',
    handLeft: 'nach links vom Feld',
    keys: 'Tasten',
    mend: 'dorthin',
    page: 'Die Seite',
    themeNow: 'Farben',
    night: 'Nacht',
    day: 'Tag, am Schreibtisch; im Take bleibt es dunkel',
    language: 'Sprache',
    sleeps: 'Dieser Browser lässt den Bildschirm hier einschlafen. Am Telefon die längste Zeit einstellen, oder immer an.',
  },

  teach: {
    label: 'Erste Schritte',
    step: {
      flip: 'Das große Feld antippen: das Set wechselt auf das, was bereit steht.',
      ride: 'Auf dem Feld drücken und hochziehen: die Überblendung folgt dem Daumen.',
      hold: 'Tippen, und unterwegs noch einmal: das Licht bleibt dort stehen.',
      worklight: 'Arbeitslicht antippen: sofort hell, damit alle laufen können.',
      back: 'Zurück antippen: der Look davor kommt wieder.',
      done: 'Das ist alles. Hier verlässt nichts je seinen Platz.',
    },
    count: (n, of) => `${n} von ${of}`,
    skip: 'weglassen',
    close: 'zu',
  },

  script: {
    title: 'Farbbuch',
    about: 'Alle Looks, Motiv für Motiv: wer was trägt, die Führung, und wo es vorkommt.',
    print: 'Drucken',
    loading: 'Looks werden gelesen',
    none: 'Noch keine Looks. Looks in show.yaml oder ins Motiv schreiben, dann stehen sie hier.',
    look: 'Look, und wessen',
    key: 'Führung',
    cues: 'Cues',
    colours: 'Farben, und wie hell',
    on: 'am Set',
    nobody: 'niemand',
    and: ' und ',
    noKey: 'dunkel',
    noCue: 'kein Cue',
    dark: 'dunkel',
    coloured: 'farbig',
    greenish: 'grünlich',
    pinkish: 'rosa',
    bar: (g) => `${words(g.name)}: ${g.colours.length > 1 ? `${g.pattern} ` : ''}${g.colours.map((c) => c.name).join(', ')} mit ${g.level}`,
  },

  rehearse: {
    title: 'Proben',
    close: 'zu',
    closeLabel: 'zu: Probe schließen',
    toSet: 'zum Set',
    line: 'Die Cues in der Zeit',
    where: (ms, there) => (there ? `${time(ms)}, Cue ${there.cue}, ${words(there.look)}, ${percent(there.at)}` : time(ms)),
    cue: (there) => `Cue ${there.cue}, ${words(there.look)}, ${percent(there.at)}`,
    onScreen: (ms) => `${time(ms)} im Bild`,
    waiting: 'Die Cues kommen mit der Verbindung.',
    noCues: 'Noch keine Cues. Cues ins Motiv schreiben, dann stehen sie hier in der Zeit.',
    play: 'ab',
    stop: 'stopp',
    goDry: 'Trockenlauf',
    needsDry: 'der Trockenlauf ist vorbei: Lampen würden folgen',
    tap: 'Takt tippen',
    noTempo: 'kein Tempo',
    bpm: (t) => withPoint(Math.round(t.bpm * 10) / 10),
    source: { show: 'tippen: BPM', location: 'tippen: BPM', set: 'tippen: BPM', taps: 'getippt BPM' },
    countIn: 'einzählen',
    none: 'nein',
    countLabel: (c) => `einzählen: ${c || 'nein'}`,
    sound: 'Ton',
    music: 'Musik',
    choose: 'Datei',
    change: 'ändern',
    mark: 'hier merken',
    markCue: (cue) => `Cue ${cue}`,
    allMarked: 'alle sind es',
    unmark: 'keine Marken',
    noMusic: 'keine Musik',
    latency: (ms, music) =>
      [
        music && `${music} bleibt auf diesem Telefon`,
        ms > 90 ? `die Verbindung braucht ${latency(ms, 'unter')}: Cues können neben dem Takt kommen`
          : music && `Cues gehen ${Math.round(ms / 2)} ms früher raus`,
      ].filter(Boolean).join('; '),
  },

  nextPlace: {
    title: 'Nächstes Motiv',
    from: (here) => `nach ${here}`,
    name: 'Name',
    address: 'erste Adresse',
    keep: 'wie sie sind',
    looks: (here) => `Looks von ${here} kommen mit`,
    cues: 'die Cue-Liste kommt mit',
    what: 'Lampen, Gruppen und Marken kommen mit; Wände und Kameras bleiben. Lampen stehen, wo sie standen: im Rig umstellen.',
    make: 'anlegen',
    made: (name) => `${name} ist angelegt. Das Set ist, wie es war.`,
  },

  keys: {
    title: 'Tasten',
    list: [
      ['Leertaste, Bild ab', 'fahren; halten; weiter'],
      ['B oder Bild auf', 'zurück'],
      ['H', 'Überblendung und bewegtes Licht halten; weiter'],
      ['S', 'sofort'],
      ['links und rechts', 'den Cue davor, den danach bereitstellen'],
      ['[ und ]', 'kürzer, länger überblenden'],
      ['Umschalt mit auf, ab', 'von Hand fahren'],
      ['R', 'Take beginnen; Take beenden'],
      ['C', 'einzählen: die nächste Art'],
      ['T', 'Takes'],
      ['W', 'Arbeitslicht'],
      ['K, gehalten', 'alles aus; K noch einmal bringt das Licht'],
      ['- und +', 'gesamt'],
      ['I', 'Nodes, Warnungen und Einrichtung'],
      ['M', 'Messen'],
      ['?', 'diese Tasten'],
      ['Escape', 'zu'],
    ],
  },

  said: {
    running: (look, ms) => (ms > 0 ? `${words(look)} läuft, ${time(ms)}` : `${words(look)} am Set`),
    done: (look) => `${words(look)} am Set`,
    held: (progress) => `gehalten bei ${percent(progress)}`,
    goneOn: 'weiter',
    standby: (look, cue) => (cue ? `Cue ${cue}, ${words(look)}, bereit` : `${words(look)} bereit`),
    killed: 'alles aus',
    alive: 'das Licht ist wieder da',
    worklight: 'Arbeitslicht an',
    pointing: (lamp) => `${lamp} zeigt sich`,
    worklightOff: 'Arbeitslicht aus',
    lost: 'Verbindung weg',
    backAfter: (ms) => `Verbindung nach ${time(ms)} wieder da; derweil ging nichts raus`,
    restarted: (look) => `der Daemon wurde neu gestartet; am Set ist ${words(look) || 'nichts'}`,
    taken: (files) => `die Show wurde neu gelesen: ${files.join(', ')}`,
    broken: (n) => `das Gesicherte hat ${n === 1 ? 'einen Fehler' : `${n} Fehler`}; das Set bleibt, wie es ist`,
    nodeLost: (name) => `Node ${name} ist weg`,
    nodeBack: (name) => `Node ${name} ist wieder da`,
    refused: (r) => `abgelehnt: ${r.message}${r.mend ? `; ${r.mend}` : ''}`,
  },
};
