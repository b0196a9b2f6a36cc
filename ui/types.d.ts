// Shapes of what comes over the wire and of the page's own state. Wire shapes
// are those of the daemon's outside contract; everything else is the page's.

/** Metres: x right, y up the plan, z up from the ground. */
export type Point = [number, number, number];
/** CIE 1931 tristimulus values. */
export type XYZ = [number, number, number];

// ---- wire ----

export interface Fade {
  from: string;
  to: string;
  /** 0..1 */
  progress: number;
  remaining_ms: number;
  total_ms: number;
}

export interface Standby {
  /** 1-based number in the cue sheet; 0 or absent when a look stands by without a cue */
  cue?: number;
  look: string;
  fade_ms: number;
  note?: string;
}

export interface Node {
  name: string;
  ip: string;
  ports: Array<string | number> | null;
  last_seen_ms: number;
  lost: boolean;
  software?: boolean;
  long_name?: string;
  firmware?: string;
  /** absent where it tells none */
  mac?: string;
  /** manufacturer code */
  esta?: number;
  oem?: number;
  /** locate, mute, normal or unknown */
  indicators?: string;
  /** what its status bits say */
  status?: string[];
  /** its last status text */
  report?: string;
  lines?: NodeLine[];
}

/** One direction of one port of a node. */
export interface NodeLine {
  address: string;
  direction: 'out' | 'in';
  protocol: string;
  page: number;
  status?: string[];
}

export interface Warning {
  code: string;
  message: string;
  why?: string;
  where?: string;
  mend?: string;
}

/** How the show on disk stands to what runs. */
export interface Files {
  /** changes of the files taken in since the start */
  taken: number;
  /** the files of the newest */
  last: string[];
  taken_ms: number;
  /** why what is on disk is not taken in */
  problems: Array<{ file: string; line: number; column: number; code: string; what: string; why: string; mend: string }>;
}

/** What runs now, as the daemon says it. */
export interface Live {
  show: string;
  title: string;
  location: string;
  setup: string;
  look: string;
  standby: Standby | null;
  fade: Fade | null;
  held: boolean;
  /** light of the look moves, held or not */
  moving: boolean;
  killed: boolean;
  worklight: boolean;
  /** the lamp that stands out so that a person finds it */
  pointing: { lamp: string; dim: boolean; left_ms: number } | null;
  dry: boolean;
  hot: boolean;
  /** 0..1 */
  overall: number;
  /** the look that `back` leads to */
  can_back: string | null;
  follow: { cue: number; in_ms: number } | null;
  counting: Counting | null;
  tempo: Tempo | null;
  /** the newest thing that anybody or anything asked */
  last: { source: string; from: string; command: string; ok: boolean; message?: string; ago_ms: number } | null;
  /** next.in_ms is null while code does not run */
  timecode: { running: boolean; source: string; at: string; offset: string; next: { cue: number; at: string; in_ms: number | null } | null };
  nodes: Node[] | null;
  output: {
    frames: number;
    rate: number;
    late_us_p50: number;
    late_us_p99: number;
    late_us_max: number;
    first_us_p99: number;
    skipped: number;
    skipped_minute: number;
    universes: number;
    send_errors: number;
  };
  warnings: Warning[] | null;
  /** how far the light of the location is computed; null where nobody computes it */
  light: { stage: string; hash: string } | null;
  /** how the show on disk stands to what runs; null where nobody reads it again */
  /** how far the show is edited; null where nothing edits it */
  edits?: { revision: number; undo: number; redo: number } | null;
  files?: Files | null;
  /** how many changes of the show wait for the cut of a hot set */
  waiting?: number;
  /** the look that the set shows as it is tried, in no file yet; "" for none */
  trying?: string;
  /** the take that rolls, the newest that was cut, the slate that stands ready, the take that is on again */
  take?: TakeMark | null;
  last_take?: TakeMark | null;
  next_take?: { scene: string; slate: string; number: number } | null;
  as_shot?: AsShot | null;
  revision: number;
}

/** A take that rolls, or the newest that was cut. */
export interface TakeMark {
  id: number;
  scene: string;
  slate: string;
  number: number;
  setup: string;
  since: string;
  cut?: string;
  /** from roll until now, or until cut */
  running_ms: number;
  /** it is on the disk; null until that is known */
  kept: boolean | null;
  note: string;
  circled: boolean;
}

export interface LampName {
  kit: string;
  rig: string;
  type: string;
}

/** A take that is on the set again, and what became of its lamps. */
export interface AsShot {
  take: number;
  event: number;
  name: string;
  lamps: {
    same: number;
    solved: Array<LampName & { was: string; stops: number; delta_uv: number }>;
    missing: LampName[];
    spare: LampName[];
    lifted: LampName[];
  };
}

/** A cue on its way in: it runs when nothing remains. */
export interface Counting {
  /** 0 for a look by name */
  cue: number;
  look: string;
  remaining_ms: number;
  total_ms: number;
  /** from one count to the next */
  beat_ms: number;
  /** counts are beats of music, else seconds */
  beats: boolean;
}

export interface Tempo {
  bpm: number;
  beats_per_bar: number;
  /** show, location, set or taps */
  source: string;
}

export interface TimelineCue {
  cue: number;
  from: string;
  look: string;
  /** what it begins for */
  waits: 'start' | 'person' | 'follow' | 'timecode';
  start_ms: number;
  delay_ms: number;
  spread_ms: number;
  fade_ms: number;
  end_ms: number;
  after_ms: number;
  start_on_screen_ms: number;
  end_on_screen_ms: number;
  start_frame: number;
  end_frame: number;
  timecode: string;
  dark: boolean;
  note: string;
  problem?: string;
}

/** The cue sheet laid out in time. */
export interface Timeline {
  revision: number;
  location: string;
  capture_fps: number;
  timeline_fps: number;
  tempo: Tempo | null;
  gap_ms: number;
  end_ms: number;
  end_on_screen_ms: number;
  cues: TimelineCue[];
  walks: TimelineWalk[];
}

/** The way of a stand-in, at one speed from the first point to the last. */
export interface TimelineWalk {
  name: string;
  height_m: number;
  points: Point[];
  cue: number;
  start_ms: number;
  end_ms: number;
}

export interface PlanCell {
  place: Point;
  most_lumens: number;
}

export interface PlanLamp {
  id: string;
  kit: string;
  type: string;
  mode: string;
  /** slots of its mode */
  footprint: number;
  /** input power at full; 0 where its type tells none */
  watts: number;
  class: 'tube' | 'panel' | 'spot' | 'puck' | 'fog' | string;
  place: Point;
  along: Point | null;
  aim: Point | null;
  address: string;
  circuit: string;
  length_m: number;
  width_m: number;
  cells: PlanCell[] | null;
  /** index of its first cell among all cells of the plan */
  first_cell: number;
}

export interface PlanLook {
  name: string;
  wears: string;
  lead: XYZ | null;
  second: XYZ | null;
  note: string;
}

export interface PlanCue {
  cue: number;
  look: string;
  fade_ms: number;
  delay_ms: number;
  after_ms: number | null;
  /** "01:00:12:08"; "" for none */
  timecode: string;
  dark: boolean;
  path: string;
  note: string;
  fade_text: string;
}

export interface SetPiece {
  kind: string;
  name: string;
  centre: Point;
  size: Point;
}

/** A camera position, and what it changes of every look. */
export interface PlanSetup {
  name: string;
  camera: Point;
  look_at: Point;
  fps: number;
  trims: Array<{ group: string; stops: number }> | null;
  /** groups that do each other's job */
  swaps: Array<[string, string]> | null;
  /** groups whose order turns round */
  mirrors: string[] | null;
}

/** The place, its rig and its cue sheet; changes only with the show or the location. */
export interface Plan {
  revision: number;
  show: string;
  location: string;
  locations: string[];
  bounds: { min: [number, number]; max: [number, number] };
  set: SetPiece[] | null;
  marks: Array<{ name: string; points: Point[] }> | null;
  setups: PlanSetup[] | null;
  groups: Array<{ name: string; cells: number[] }> | null;
  lamps: PlanLamp[] | null;
  looks: PlanLook[] | null;
  cues: PlanCue[] | null;
  /** chromaticity x, y of the camera's white balance */
  balance: [number, number];
}

/** Where a surface is; the daemon's cues/stage SceneShape says how. */
export interface SceneShape {
  shape: 'rectangle' | 'triangle' | 'disc' | 'tube' | 'ball';
  at: Point;
  u: Point;
  v: Point;
  w?: Point;
}

export interface SceneSurface extends SceneShape {
  /** reflectance for red, green, blue */
  finish: [number, number, number];
  /** index of its other side, -1 for none */
  twin: number;
}

export interface SceneLamp extends SceneShape {
  /** m² */
  area: number;
  facing: Point;
  /** index of its beam, -1 for a tube that shines all round */
  beam: number;
  /** the lamp whose face this is at another spread, -1 for one that has its own */
  of: number;
  /** what its gobo lets through to the camera of each set-up, 0..1 */
  pass?: number[];
}

/** Candela of a lumen: peak·2^-(x^shape), x = power·log2(1/cos) off the axis. */
export interface SceneBeam {
  peak: number;
  power: number;
  shape: number;
}

export interface SceneSetup {
  name: string;
  camera: Point;
  look_at: Point;
  lens_mm: number;
  sensor_mm: number;
  key_lux: number;
  /** stops over grey before a channel clips */
  over: number;
  /** K */
  balance: number;
  /** what each channel gets of any light, against the show's balance */
  gain: [number, number, number];
  /** from the camera's channels to Rec.709, row by row */
  matrix: [Point, Point, Point];
}

/** The location as its cameras see it; lamps are cells, in the order of the plan. */
export interface Scene {
  location: string;
  revision: number;
  aspect: number;
  surfaces: SceneSurface[];
  lamps: SceneLamp[];
  beams: SceneBeam[];
  setups: SceneSetup[];
}

/** What a lumen of each source does to every texel of every surface. */
export interface LightMap {
  channels: 1 | 3;
  sources: number;
  texels: number;
  grids: Array<{ first: number; nu: number; nv: number }>;
  /** a bit for each texel, the lowest first */
  hidden: Uint8Array;
  /** lux of code 255 of each source, for a lumen */
  tops: Float32Array;
  /** of each channel and source: n is top·(n/255)³ */
  codes: Uint8Array[];
}

export interface MeterCamera {
  iso: number;
  stop: number;
  shutter_deg: number;
  fps: number;
  balance_k: number;
  stops_over_grey_to_clip: number;
  timeline_fps?: number;
  /** how much faster than life the picture moves */
  speed?: number;
}

export interface MeterGroup {
  name: string;
  lux: number;
  stops_under_key?: number;
  is_key?: boolean;
}

export interface MeterMark {
  name: string;
  lux: { total: number; facing_key?: number; up: number };
  stop: number;
  stops_over_camera: number;
  ratio?: { key_to_fill: number; key_and_fill_to_fill: number };
  groups: MeterGroup[];
  spots: MeterSpot[];
  operator_shadow_stops: number;
}

export interface MeterSpot {
  name: string;
  reflectance: number;
  hottest: string;
  /** each null where that channel gets nothing */
  stops_over_grey: Array<number | null>;
  clip_margin_stops: number;
}

export interface MeterLamp {
  id: string;
  cell: number;
  stops_over_grey: number;
  hottest: string;
  clips: boolean;
  /** share of the level now */
  keep_colour_level: number;
}

/** What the meter reads; the daemon's cues/meter Report says how. */
export interface MeterReport {
  location: string;
  setup: string;
  /** "" when none is on */
  look: string;
  key_lux: number;
  camera: MeterCamera;
  marks: MeterMark[];
  lamps: MeterLamp[];
  floor?: { min_lux: number; limit: number; at: Point; walk: string };
  flicker: Array<{ mains_hz: number; safe: boolean; nearest_safe_deg?: number; ripple: number; beat_hz: number }>;
  flips: Array<{ readout_ms: number; split_share: number; clean_ms: number }>;
  stepping: Array<{ cue: number; lamp: string; verdict: string }>;
  times: Array<{ cue: number; asked: string; real_s: number; frames: number; on_screen_s?: number }>;
}

/** A refused verb: what, where and the mend. */
export interface Refusal {
  code: string;
  message: string;
  where?: string;
  mend?: string;
}

/** A verb as sent over the socket, without its id. */
export interface Command {
  verb: string;
  [field: string]: unknown;
}

declare global {
  /** The caller that ahead.js has made, where there is one. */
  var linkboyCaller: import('./first.js').Caller | undefined;
}

/** Who the person at a device is on set. */
export type Role = 'viewer' | 'assistant' | 'operator' | 'owner';

/** How somebody is let in as a role, of GET /api/pairing. */
export interface Invitation {
  role: Role;
  code: string;
  /** pairs a device that opens it */
  url: string;
  /** rows of its QR code, "#" for dark */
  qr: string[];
}

export type Push =
  | { type: 'role'; role: Role }
  | { type: 'answer'; id: number; ok?: boolean; error?: Refusal }
  | { type: 'state'; state: Live }
  | { type: 'meter'; meter: MeterReport | null }
  | { type: 'plan'; revision: number };

/** Light of every cell, in the order of the plan. */
export interface CellsFrame {
  revision: number;
  frame: number;
  count: number;
  /** X, Y, Z of each cell; Y in lumens */
  xyz: Float32Array;
}

/** What every cell gives the channels of the camera, in the order of the plan. */
export interface SeenFrame {
  revision: number;
  frame: number;
  count: number;
  /** red, green, blue of each cell, lumens of the balance white */
  rgb: Float32Array;
}

/** A look as it is written, and what becomes of it. */
export interface LookPaint {
  look: string;
  /** "" for a look of the show */
  location: string;
  from: string;
  wears: string;
  policy: string;
  note: string;
  /** whose colours plain names mean; "" for nobody's */
  wearing: string;
  /** what it starts from first, the look's own last */
  layers: Array<{ look: string; location: string; paint: PaintLine[] }>;
  misses: Array<{ lamp: string; asked: [number, number]; reached: [number, number]; delta_uv: number }>;
  levels: Array<{ group: string; asked: string; off_stops: number; share: number }>;
  cast: Array<{ name: string; colours: Array<{ name: string; text: string; uv: [number, number] }> }>;
}

export interface PaintLine {
  /** from 1 */
  number: number;
  on: string;
  pattern: string;
  colours: string[];
  level: string;
}

/** What strokes that are not saved come to. */
export interface Tried {
  look: string;
  /** it is on the set; `why` says why it is not where that was asked for */
  live: boolean;
  why: string;
  /** X Y Z of each cell of the plan, lumens */
  xyz: number[];
  /** red green blue of each cell, lumens of the balance white */
  rgb: number[];
  paint: LookPaint;
}

/** A change of the show, in the words of its files. */
/** One lamp of the plan, or a device that is none, as found by RDM. */
export interface RigRow {
  /** in the rig; absent for what is not in it */
  place?: string;
  lamp?: string;
  uid?: string;
  by?: string;
  right: boolean;
  findings: Array<{ kind: string; what: string; mend?: string }>;
  /** what can be set from here */
  change?: { personality?: number; address?: number; label?: string };
  failed?: string;
}

/** The plan against what was found. */
export interface RigCheck {
  location: string;
  devices: number;
  /** devices that took what was set */
  set: number;
  rows: RigRow[];
}

/** A lamp that RDM has found. */
export interface Device {
  uid: string;
  label: string;
  model: string;
  maker: string;
  node: string;
  port_address: string;
  start: number;
  footprint: number;
  identify: boolean;
  sensors: Array<{ name: string; kind: string; value: number; unit: string; text: string }>;
  hours?: number;
  last_seen_ms: number;
  lost: boolean;
  asked: boolean;
  trouble?: string;
}

export interface Edit {
  do: string;
  what: string;
  location?: string;
  of?: string;
  name?: string;
  number?: number;
  to?: string;
  place?: number;
  fields?: Record<string, string>;
}

// ---- the page ----

/** What a group is to wear. */
export interface Stroke {
  pattern: 'solid' | 'alternate' | 'halves' | 'gradient' | 'mirror';
  /** texts as in a show file */
  colours: string[];
  level: string;
}


export type LinkPhase = 'opening' | 'up' | 'lost' | 'pairing';

export interface LinkState {
  phase: LinkPhase;
  /** round trip of the newest answered command, ms */
  ms: number | null;
}

export type Outcome =
  | { ok: true; ms: number }
  /** `sent` is false when it never left the page */
  | { ok: false; sent: boolean; refusal: Refusal };

/** A cue on the line of a rehearsal; times in ms from its start. */
export interface LaidCue {
  cue: number;
  look: string;
  from: string;
  waits: TimelineCue['waits'];
  /** its place was marked in music */
  marked: boolean;
  start: number;
  delay: number;
  end: number;
}

export interface RehearsalState {
  timeline: Timeline | null;
  /** where the line is, ms */
  at: number;
  /** the pictures show the line, not the set */
  blind: boolean;
  playing: boolean;
  /** taps so far */
  taps: number;
  /** how cues are counted in: "4 beats"; "" for not at all */
  countIn: string;
  sound: boolean;
  /** the count that runs: so many beats left, of so many */
  beat: { left: number; of: number } | null;
  music: { name: string; marks: Record<number, number> } | null;
  /** why it does not play */
  why: string;
}

export type PadPhase =
  | 'lost' | 'refused' | 'killed' | 'sent' | 'counting' | 'riding' | 'held' | 'running' | 'done' | 'dry' | 'standby' | 'empty';

/** The places of the page. */
export type Place = 'set' | 'paint' | 'rig' | 'takes';

/** A thumb on its way up the pad. */
export interface Ride {
  /** look that the ride leads to */
  look: string;
  /** 0..1, where the thumb is */
  at: number;
}

/** A place with its light, of one plan. */
export interface Lit {
  revision: number;
  hash: string;
  scene: Scene;
  map: LightMap;
}

/** What a person has written on the slate; null is as the daemon has it. */
export interface SlateDraft {
  scene: string | null;
  slate: string | null;
  number: number | null;
  setup: string | null;
  /** what the next take of that slate counts, when it is not the daemon's own */
  counted: number | null;
}

/** What a clicker or pedal can be taught to do. */
export type ClickerAction = 'run' | 'back' | 'take';

/** The one state object that the page is drawn from. */
export interface PageState {
  link: LinkState;
  live: Live | null;
  plan: Plan | null;
  /** settled light of each look by name, X Y Z per cell */
  looks: Record<string, Float32Array>;
  /** what each look gives the camera, red green blue per cell */
  seen: Record<string, Float32Array>;
  /** the small picture of each look, where the daemon has drawn it */
  stills: Record<string, ImageBitmap>;
  /** the place with its computed light; null while there is none */
  lit: Lit | null;
  /** what the meter reads while somebody looks at it; null while there is nothing */
  meter: MeterReport | null;
  /** why this device cannot draw the camera's picture; "" when it can */
  unable: string;
  /** the command without an answer that matters most, by its verb */
  sent: string | null;
  refusal: Refusal | null;
  /** look that has just been reached */
  done: string | null;
  ride: Ride | null;
  /** steps of fade time away from "as written", and for which stand-by that was chosen */
  trim: { step: number; for: string };
  /** what the live region says */
  said: string;
  panel: 'details' | 'keys' | 'rehearse' | 'meter' | 'script' | 'clicker' | null;
  slate: SlateDraft;
  /** keys that were taught to this device */
  clicker: Partial<Record<ClickerAction, string>>;
  /** what the next key that is pressed will do; null when it is not asked for */
  learning: ClickerAction | null;
  rehearsal: RehearsalState;
  /** as which this device is paired */
  role: Role;
  /** which of the places is open beside or over the set */
  place: Place;
  /** whether painting shows the plan to choose on, or the camera's picture */
  view: 'plan' | 'camera';
  /** the pictures show what is painted, not the set */
  trying: boolean;
  /** kill is being held down */
  holding: boolean;
  /** which side of the pad the small controls are on */
  hand: 'left' | 'right';
}

/** A look at a location, of GET /api/script. */
export interface ScriptRow {
  location: string;
  look: string;
  /** whose colours are seen, the one that it wears first */
  characters: string[];
  cues: number[];
  key: ScriptKey | null;
  groups: ScriptGroup[];
  note?: string;
}

export interface ScriptKey {
  /** as written */
  level: string;
  share: number;
  /** kelvin; null for a key that is no white */
  cct: number | null;
  duv: number | null;
}

export interface ScriptGroup {
  name: string;
  level: string;
  pattern: string;
  colours: { name: string; xy: [number, number]; uv: [number, number] }[];
}
