package edit

import (
	"slices"
)

// part says where things of a kind stand in which file, and what keys they have.
type part struct {
	show, location bool     // in which files it can stand
	file           string   // that of the show which it stands in, when it is not show.yaml
	section        []string // keys that lead to the list or map of them
	owner          What     // what holds them, when they are parts of another part
	inside         string   // the key within the owner; "" when the owner is the map itself
	list           bool     // in a list, by number
	one            bool     // there is one, and section leads to it
	fields         []field
	// bare is the key whose value alone can be the whole entry.
	bare string
	// more are keys that say how a part is added, and are not in it then.
	more []field
	can  []Do
}

// field is a key of a part. The text of a plain one is taken as it is, that of
// others is a value like [a, b] or {hue: 32, sat: 92%}.
type field struct {
	key   string
	plain bool
}

func text(keys ...string) (out []field) {
	for _, key := range keys {
		out = append(out, field{key, true})
	}
	return out
}

func value(keys ...string) (out []field) {
	for _, key := range keys {
		out = append(out, field{key, false})
	}
	return out
}

var (
	named    = []Do{Add, Change, Remove, Rename}
	numbered = []Do{Add, Change, Remove, Move}
	single   = []Do{Change, Remove}
)

// parts are the parts of a show, with their keys in the order of new entries.
var parts = map[What]part{
	TheShow:     {show: true, one: true, fields: text("title", "timeline"), can: []Do{Change}},
	TheLocation: {location: true, one: true, fields: text("title"), more: text("from", "addresses", "looks", "cues"), can: []Do{Add, Change, Remove}},
	Look: {show: true, location: true, section: []string{"looks"},
		fields: slices.Concat(text("from", "wears", "policy"), value("paint"), text("note")), can: append([]Do{Carry}, named...)},
	Paint: {show: true, location: true, section: []string{"looks"}, owner: Look, inside: "paint", list: true,
		fields: slices.Concat(text("on", "pattern"), value("colour", "colours"), text("level"), value("set", "moves")), can: numbered},
	Character: {show: true, section: []string{"cast"}, can: []Do{Add, Remove, Rename}},
	Colour: {show: true, section: []string{"cast"}, owner: Character, fields: value("colour"), bare: "colour",
		can: []Do{Add, Change, Remove}},
	Cue: {location: true, section: []string{"cues"}, list: true,
		fields: text("look", "fade", "delay", "curve", "path", "spread", "after", "timecode", "dark", "note"), can: numbered},
	Group: {location: true, section: []string{"groups"}, fields: slices.Concat(value("lamps"), text("policy", "match")), bare: "lamps", can: named},
	Lamp: {location: true, section: []string{"rig"},
		fields: slices.Concat(text("lamp"), value("at", "along", "aim"), text("address", "circuit"), value("diffusion", "gobo")), can: named},
	Mark:    {location: true, section: []string{"marks"}, fields: value("at"), bare: "at", can: named},
	StandIn: {location: true, section: []string{"stand-ins"}, fields: slices.Concat(value("at"), text("height"), value("facing"), text("walk", "from", "takes")), can: named},
	Setup: {location: true, section: []string{"setups"},
		fields: slices.Concat(value("camera", "look-at"), text("lens"), value("trim", "swap", "mirror"), exposure), can: named},
	Trim: {location: true, section: []string{"setups"}, owner: Setup, inside: "trim", fields: text("stops"), bare: "stops",
		can: []Do{Add, Change, Remove}},
	Tempo: {show: true, location: true, section: []string{"tempo"}, one: true, fields: text("bpm", "beats-per-bar"), can: single},
	Camera: {show: true, section: []string{"camera"}, one: true,
		fields: slices.Concat(exposure, text("over", "under", "sensor")), can: single},
	FloorLight: {show: true, section: []string{"safety", "floor-light"}, one: true, fields: slices.Concat(text("on", "level"), value("colour")), can: single},
	Safety:     {show: true, section: []string{"safety"}, one: true, fields: text("flashing"), can: []Do{Change}},
	WorkLight:  {show: true, section: []string{"safety", "work-light"}, one: true, fields: slices.Concat(text("on", "level"), value("colour")), can: single},
	Piece: {location: true, section: []string{"set"}, list: true,
		fields: slices.Concat(text("box", "plane", "cylinder", "steps", "mesh"), value("at", "size", "along", "across"),
			text("radius", "height", "count", "rise", "scale", "turn"), value("albedo")), can: numbered},
	Output: {location: true, section: []string{"outputs"}, list: true,
		fields: slices.Concat(text("over"), value("universes"), text("interface"), value("to"), text("sync", "priority", "offset", "ttl", "preview")), can: numbered},
	Kit: {show: true, file: "kit.yaml", fields: slices.Concat(text("type", "mode", "policy"), value("readings"), text("uid", "note")),
		can: []Do{Add, Change, Remove}},
}

var exposure = text("iso", "stop", "shutter", "fps", "balance", "sensor-width")

// The keys of files in the order in which new ones are put.
var (
	showKeys     = []string{"title", "timeline", "tempo", "camera", "safety", "cast", "looks"}
	locationKeys = []string{"title", "tempo", "set", "marks", "stand-ins", "rig", "groups", "looks", "setups", "cues", "outputs"}
)

// keys lists the keys of a part in order.
func (p part) keys() []string {
	var out []string
	for _, f := range p.fields {
		out = append(out, f.key)
	}
	return out
}

// takes lists the keys that can be said when it is done to a part.
func (p part) takes(do Do) []string {
	if do == Add {
		return part{fields: slices.Concat(p.fields, p.more)}.keys()
	}
	return p.keys()
}

// sorted gives the keys of fields in the order of the part, unknown ones last.
func (p part) sorted(fields map[string]string) []string {
	var out []string
	for _, key := range p.takes(Add) {
		if _, given := fields[key]; given {
			out = append(out, key)
		}
	}
	var rest []string
	for key := range fields {
		if !slices.Contains(out, key) {
			rest = append(rest, key)
		}
	}
	slices.Sort(rest)
	return append(out, rest...)
}
