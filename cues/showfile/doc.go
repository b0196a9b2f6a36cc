// Package showfile reads a show from its folder and the small texts (a colour,
// a level, a time) that a command line or a page sends. It is the only place
// that knows YAML: it walks the nodes of a file with its own schema, so that
// every problem has its line and column, and all are found in one go.
//
// The folder:
//
//	show.yaml         title, timeline, tempo, camera, cast, looks, safety
//	kit.yaml          lamps owned
//	lamps/*.yaml      lamp types beyond the built-in ones
//	locations/*.yaml  places to shoot
//
// The keys, with ? behind those that may be left out:
//
//	show.yaml
//	  title?: Tidewater
//	  timeline?: 24 fps                   rate of the edit; the camera's when left out
//	  tempo?: {bpm: 120, beats-per-bar?: 4}
//	  camera?: {iso?, stop? (T2), shutter? (180 deg), fps?, balance? (4300 K), over? (6 stops), under? (8 stops),
//	            sensor? (bayer-a; or my-camera.csv in the folder, with the columns nm,r,g,b),
//	            sensor-width? (24.9 mm, of the picture)}
//	  cast?: {warden: {lead: COLOUR, second: COLOUR}}
//	  looks?: {NAME: {from?, wears?, policy?: POLICY, paint?: [PAINT], note?}}
//	  safety?: {floor-light?: {on, level, colour}, work-light?: {on?, level, colour},
//	            flashing?: warned (cast, crew and audience are: looks that flash over the limit may run)}
//	kit.yaml
//	  T1: {type: tube-rgbww-4ft, mode?: 16-cell, policy?: POLICY, readings?: [READING], uid?: 7FF0:0000002A, note?}
//	  T1..T12 stands for twelve lamps; uid is what a lamp is known by on the network (ANSI E1.20), one lamp's each
//	READING, what a meter read of one emitter of the lamp, the others dark
//	  {emitter: red, drive?: 50% (of control; 100% when left out), lux?: 120 lx, at?: 1 m, xy?: [0.69, 0.30],
//	   spectrum?: readings/t1-red.csv (in the folder, with the columns nm,power)}
//	  with at least one of lux (and at, from the lamp's face on its axis), xy and spectrum; those
//	  of T1..T12 are taken to be true of each of the twelve
//	locations/NAME.yaml
//	  title?, tempo?
//	  set?: [PIECE, ...]
//	  marks?: {a: POINT, walk: [POINT, ...]}
//	  stand-ins?: {dancer: {at: POINT or MARK, height?: 1.75 m, facing?: POINT or MARK}}    a simple figure of that height;
//	        faces the camera of the first set-up when nothing is said
//	        or {walk: MARK of several points, from?: cue 2 (1), takes: TIME, at?, height?, facing?}    walks there in rehearsals; light is computed with it at the start
//	  rig?: {lane-1: {lamp?: T1, at: POINT, along?: [x, y, z], aim?: POINT or MARK, address: 0:0:1.001, circuit?,
//	                  diffusion?: {factor: 50% (of the light, left), widens?: 40 deg},
//	                  gobo?: {picture: window.png (white passes, black stops), angle?: 40 deg (across its longer side; the
//	                          field angle when left out), turn?: 20 deg, soft?: 2 deg (edges)}}}
//	        lamp may be left out where the place in the rig has the name of the lamp
//	  groups?: {edge: [lane-1, lane-2 cells 1-8, lane-3..lane-7, K1]}
//	        or edge: {lamps: [...], policy?: POLICY, match?: group}    match holds all lamps to one colour and as much light
//	  looks?: as in show.yaml
//	  setups?: {wide: {camera: POINT, look-at: POINT or MARK (1 m over it), lens?: 14 mm, trim?: {key: -1.6 stops},
//	                   swap?: [edge, back], mirror?: true (or [lanes, edge]),
//	                   iso?, stop?, shutter?, fps?, balance?, sensor-width?}}    the show's camera where nothing is said
//	        swap has two groups do each other's job in every look (or a list of such pairs), mirror turns the order of groups
//	        round, for patterns and spreads; trim is by how many stops the lamps of a group are over what is painted on them,
//	        after levels at marks have been solved: the key's trim moves the key alone. Trims of a lamp in two groups add up
//	  cues?: [{look, fade?: TIME, delay?: TIME, curve?, path?: PATH, spread?: TIME along GROUP, after?: TIME, timecode?: TIMECODE, dark?: true, note?}]
//	  outputs?: [OUTPUT]                                       when left out, Art-Net to the nodes that answer
//	OUTPUT, how universes travel to the lamps; several may carry one universe by two protocols or into two networks
//	  {over: art-net, universes?: UNIVERSES, interface?: eth1 (or this machine's address there),
//	   to?: [192.168.1.21] (or broadcast; to the nodes that answer when left out), sync?: true (ArtSync behind several universes)}
//	  {over: sacn, universes?: UNIVERSES, interface?, to?: [192.168.1.21] (or multicast, as when left out), priority?: 100 (0 to 200),
//	   sync?: 7000 (the synchronization address), offset?: 1 (universe = port-address + offset), ttl?: 1, preview?: true (dry runs too, marked)}
//	UNIVERSES
//	  all (when left out), or [0:0:1, 0:0:2..0:0:8]; port-address n is sACN universe n, which Art-Net 4 says too, so 0:0:0 needs an offset
//	PIECE, a thing that stands there, with albedo?: 0.2, or [0.5, 0.4, 0.3] for the red, green and blue that the camera sees
//	  {box: NAME, at: corner with the least x, y and z, size, turn?: 30 deg}
//	  {plane: NAME, at: a corner, along: [x, y, z], across: [x, y, z]}    thin, with two sides; the edges at that corner
//	  {cylinder: NAME, at: centre of the foot, radius, height, along?: [x, y, z]}    closed; upright when nothing is said
//	  {steps: NAME, at: corner with the least x, y and z, size, count: 6, rise: +x, -x, +y or -y, turn?: 30 deg}
//	  {mesh: FILE.obj, at: place of the file's origin, scale?: 1 (metres a unit), turn?: 30 deg}    plain OBJ in the folder, z up
//	  turn is counterclockwise on the plan, about the centre of a box and of steps and the origin of a mesh
//	POLICY, the mix of a colour to take; a lamp's stands before a group's, and a group's before a look's
//	  brightest (when nothing is said), truest, camera (of the sensor)
//	PAINT
//	  {on: GROUP, colour?: COLOUR, colours?: [COLOUR, ...], pattern?, level?: LEVEL, set?: {PARAMETER: 20 Hz}, moves?: MOVEMENT}
//	  the parameter spread of a lamp type, in degrees, is its beam angle; light is computed for several where a look sets it
//	MOVEMENT, from the colour and level of the paint to a far end and back; it is the same in every take, from the cue's first frame on
//	  {wave: sine, ramp or pulse, period: TIME, phase?: 25% (of a period, to begin at), duty?: 50% (of a pulse, at rest),
//	   spread?: 1 cycle (over the group; -1 from its end), or TIME from the first cell to the last; all together when left out}
//	  {noise: flame, screen, lightning or passing, period?: TIME on the average (400 ms, 3 s, 8 s, 6 s), seed?: 1,
//	   spread?: TIME from the first cell to the last (passing 2 s; each flame goes by itself, screen and lightning all together)}
//	  between?: levels, or colours (the paint's two: each cell goes from its own to the other), depth?: 60% (of the way;
//	  100%, flame 30%, screen 60% when left out); moves: none ends a movement of the look it starts from
//	  lightning and passing rest at the far end and come up to the level of the paint
//	COLOUR
//	  3200 K, {cct, tint?}, {hue, sat}, {xy: [x, y]}, {uv: [u', v']}, {shift: +131 mired, from: 5600 K},
//	  {nm, purity}, {css: "oklch(...)"}, lead, warden.lead
//	LEVEL
//	  40%, -2 stops, -1.5 stops under GROUP at MARK, 120 lx at MARK
//	PATH
//	  short (straight in OKLab), round or round other way (the hue circle), white, dark (through them),
//	  mired (white to white), straight (in light)
//	TIME
//	  4 s, 250 ms, 48 frames, 8 beats, 2 bars, each with "on screen" behind it where the time is screen time
//	TIMECODE, when the cue runs by itself while time code comes in
//	  01:00:12:08 (hours, minutes, seconds, frames of the timeline), 01:00:12;08 (29.97 drop-frame)
//
// A lamp type is described in lamps/*.yaml; see the built-in ones for examples. What it may say of its dimming:
// pwm: 1200 Hz, or {rate: 1200 Hz, between?: 20% (of the light, that is left between the pulses)}. A
// parameter that says stops: true, and all of a lamp of class fog, goes to its safe
// value, which is its least, on kill, when the daemon ends and when its place is left.
// Points are [x, y, z] in metres. Anchors, aliases, merge keys and tags are
// refused: a look says `from`, and a file that is edited by a program and a
// person has each thing in one place.
package showfile
