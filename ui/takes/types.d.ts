// Takes as the daemon tells them; cues/take says what each number is.

export interface TakeEvent {
  /** 1 is roll */
  n: number;
  at: string;
  kind: string;
  location: string;
  look: string;
  cue: number;
  fade_ms: number;
  progress: number;
  overall: number;
  dark: boolean;
  killed: boolean;
  dry: boolean;
  timecode: { day: string; in: string };
}

export interface Take {
  id: number;
  scene: string;
  slate: string;
  number: number;
  show: string;
  location: string;
  setup: string;
  clip: string;
  camera: { iso: number; stop: number; shutter_deg: number; fps: number; timeline: number; balance_k: number; lens_mm?: number };
  tempo: { bpm: number; beats_per_bar: number };
  rolled: string;
  /** absent while it rolls */
  cut?: string;
  /** the daemon stopped while it rolled */
  broken: boolean;
  from: { day: string; in: string };
  to: { day: string; in: string };
  looks: string[];
  /** looks of a list with the time from roll to each, ms */
  came?: Array<{ look: string; cue: number; after_ms: number }>;
  note: string;
  circled: boolean;
  warnings: string[];
  readings: Array<{ device: string; label: string; name: string; kind: string; value: number; unit: string }>;
  /** moments that could not be written down */
  lost: number;
  photos: number;
  events?: TakeEvent[];
}

export interface Difference {
  kit: string;
  rig: string;
  state: 'near' | 'differs' | 'off' | 'on' | 'gone' | 'new';
  stops: number;
  delta_uv: number;
  cell: number;
  cell_stops: number;
  cell_delta_uv: number;
  lumens_then: number;
  lumens_now: number;
  other: string[];
}

export interface Differs {
  near_stops: number;
  near_delta_uv: number;
  lamps: Difference[];
}

export interface Photo {
  n: number;
  taken: string;
  width: number;
  height: number;
  bytes: number;
}

export interface TakeQuery {
  scene: string;
  look: string;
  /** "2026-11-27" */
  day: string;
  circled: boolean;
}
