// Package edit changes a show on disk, in place: comments, order, quotes and all
// lines that an edit is not about stay as they are, byte for byte.
//
// An Edit says what changes in the words of the model. It is made on the texts
// of the files (see inplace, which checks each change by reading it again), the
// show is loaded from them, and only when it has no errors are they written:
// the history first, then for each file the old one as FILE.bak and the new one
// in its place, atomically. So what is refused changes nothing, and what was cut
// short by a kill or a power cut is taken back when the show is opened again.
//
// A show has a revision, which rises with each change. An edit says which one
// it was made for, and is refused with what changed since when that is not the
// newest (StaleError). A file changed by hand is noticed before each edit by its
// bytes, and once more in the moment of the rename: the change is taken in, and
// the edit refused (HandError), so nobody's change is lost.
//
// The last 100 edits can be undone and made again, also after a restart, from
// .history.json in the folder of the show. When that file is not of these very
// files any more, it is dropped with a warning. While the editor is open, a
// change by hand is carried past the edits before it, line by line; those whose
// lines it touches can no longer be undone, nor can those before them. The
// change by hand itself is never undone.
//
// # Edits in JSON
//
//	{"do": DO, "what": WHAT, "location": NAME, "of": NAME, "name": NAME, "number": 1, "to": NAME, "place": 1, "fields": {KEY: TEXT}}
//
// What is not needed is left out. Values are texts as in show files, also
// numbers ("2"), lists ("[a, b]") and colours ("{hue: 32, sat: 92%}"); "" takes
// a key out. Numbers and places count from 1; place 0, or none, is the end. A
// part of show.yaml and of kit.yaml has no location.
//
//	WHAT         DO                           which                    FIELDS
//	show         change                                                title, timeline
//	location     change remove                location                 title
//	location     add                          name                     title, from, addresses, looks, cues
//	look         add change remove rename     location?, name          from, wears, policy, paint, note
//	look         carry                        location, name, to
//	paint        add change remove move       location?, of, number    on, pattern, colour, colours, level, set, moves
//	character    add remove rename            name                     colours by their names, to add
//	colour       add change remove            of, name                 colour
//	cue          add change remove move       location, number         look, fade, delay, curve, path, spread, after, timecode, dark, note
//	group        add change remove rename     location, name           lamps, policy, match
//	lamp         add change remove rename     location, name           lamp, at, along, aim, address, circuit, diffusion, gobo
//	mark         add change remove rename     location, name           at (a point, or points of a walk)
//	stand-in     add change remove rename     location, name           at, height, facing, walk, from, takes
//	set-up       add change remove rename     location, name           camera, look-at, lens, trim, swap, mirror, iso, stop, shutter, fps, balance, sensor-width
//	trim         add change remove            location, of, name       stops; of is the set-up, name the group
//	tempo        change remove                location?                bpm, beats-per-bar
//	camera       change remove                                         iso, stop, shutter, fps, balance, sensor-width, over, under, sensor
//	safety       change                                                flashing
//	floor-light  change remove                                         on, level, colour
//	work-light   change remove                                         on, level, colour
//	piece        add change remove move       location, number         box, plane, cylinder, steps, mesh, at, size, along, across,
//	                                                                   radius, height, count, rise, scale, turn, albedo
//	output       add change remove move       location, number         over, universes, interface, to, sync, priority, offset, ttl, preview
//	kit          add change remove            name (or T1..T12)        type, mode, policy, readings, uid, note
//
// For example:
//
//	{"do": "change", "what": "paint", "of": "warden", "number": 3, "fields": {"level": "-1.5 stops under key at a"}}
//	{"do": "add", "what": "look", "location": "deep-end", "name": "dawn", "fields": {"from": "warden", "paint": "[{on: key, level: 10%}]"}}
//	{"do": "rename", "what": "character", "name": "warden", "to": "keeper"}
//	{"do": "move", "what": "cue", "location": "deep-end", "number": 3, "place": 1}
//	{"do": "add", "what": "location", "name": "boiler-house", "fields": {"from": "deep-end", "addresses": "0:0:6.001", "cues": "yes"}}
//
// A rename changes what names the thing as well: a character's in who wears it
// and in colours like warden.lead; a look's in from and in cues; a lamp's in
// groups. Groups and marks are renamed at one location, in its file alone, or
// without a location at all of them and in show.yaml. Result.Changes, also of
// Preview, lists every place.
//
// A location is begun from another (from) with the very text of its tempo, marks,
// rig, groups and outputs; looks: yes and cues: yes bring those too, and cues the
// looks that they need. addresses is keep, or the first of new ones in rig order,
// like 0:0:6.001. Without from it is empty, with comments. Its file comes and goes
// with undo and redo, but never over what a hand has done to it.
//
// A look is carried from location to the location to, as package carry makes it.
// Paint on groups that are not there is left out, and said in Result.Changes; a
// level at a mark that is not there refuses the edit.
//
// With the last output goes the key outputs, so that universes go out as where nothing
// is said of them: an empty list sends nothing, and is for a hand to write.
//
// A lamp that is taken out leaves its groups. Whatever else would name a thing
// that is gone is an error of the show, which refuses the edit. Paint that gets
// one colour loses colours and pattern, unless the edit has them too.
package edit
