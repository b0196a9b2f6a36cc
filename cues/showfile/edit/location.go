package edit

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/inplace"
)

// takenOver are the sections that a location takes over from the one that it is begun from.
// What stands at a place, who stands in there and its set-ups are of that place alone.
var takenOver = []string{"tempo", "marks", "rig", "groups", "outputs"}

// addLocation makes a new location, begun from another or empty.
func (d *draft) addLocation(e Edit) {
	file := d.newPlace(e.Name)
	lead := inplace.Entries()
	if title := e.Fields["title"]; title != "" {
		lead.With("title", inplace.Value(title))
	}
	var f *inplace.File
	if from := e.Fields["from"]; from != "" {
		f = d.begun(e, from, lead)
	} else {
		for _, key := range []string{"addresses", "looks", "cues"} {
			if e.Fields[key] != "" {
				refuse(bad(fmt.Sprintf("%s says nothing here", key), "it is said of what a location is begun from", "add from, or take it out"))
			}
		}
		f = d.empty(file, e.Name, lead)
	}
	d.opened[file] = f
	delete(d.gone, file)
	d.changes = append(d.changes, Touch{cues.Pos{File: file, Line: 1, Column: 1}, e.String()})
}

// newPlace gives the file of a new location, whose name must be free.
func (d *draft) newPlace(name string) string {
	if p := showfile.CheckName("a location", name); p != nil {
		refuse(p)
	}
	for _, file := range d.places() {
		// Disks there are take pier.yaml and Pier.yaml for one file.
		if known := placeName(file); strings.EqualFold(known, name) {
			refuse(cues.NewProblem(cues.Pos{File: file}, cues.CodeDuplicateName, fmt.Sprintf("there is a location %q already", known),
				"a name means one thing", "choose another name"))
		}
	}
	return path.Join("locations", name+".yaml")
}

// begun gives the text of a location that is begun from another.
func (d *draft) begun(e Edit, from string, lead *inplace.Node) *inplace.File {
	old := d.file(from)
	loc := d.current().Location(from)
	looks, cueSheet := yes(e, "looks"), yes(e, "cues")
	keys := slices.Clone(takenOver)
	needed := neededLooks(d.current(), loc)
	if looks || cueSheet && len(needed) > 0 {
		keys = append(keys, "looks")
	}
	if cueSheet {
		keys = append(keys, "cues")
	}
	f, err := d.open(old).Sub(lead, keys, map[string][]string{
		"":    {fmt.Sprintf("Begun from %s.", from)},
		"rig": {fmt.Sprintf("Where lamps stand is as at %s: move them to where they stand here.", from)},
	})
	d.unsure(old, err)
	if at, depth := find(f, []string{"looks"}); depth == 1 && !looks {
		n := f.Root().At(at)
		for i := len(n.Keys) - 1; i >= 0; i-- {
			if !slices.Contains(needed, n.Keys[i].Text) {
				d.unsure(old, f.Remove(at, i))
			}
		}
	}
	if text := e.Fields["addresses"]; text != "" && text != "keep" {
		d.renumber(old, f, loc.Rig, text)
	}
	return f
}

// yes reads whether something comes along.
func yes(e Edit, key string) bool {
	switch text := e.Fields[key]; text {
	case "", "no":
		return false
	case "yes":
		return true
	default:
		refuse(bad(fmt.Sprintf("%q says nothing of %s", shorten(text), key), "they come along or they do not", "write yes or no"))
		return false
	}
}

// neededLooks lists the looks of a location that its cues run, with those that these
// start from.
func neededLooks(show *cues.Show, loc *cues.Location) []string {
	var names []string
	for _, c := range loc.Cues {
		look := show.Look(loc, c.Look)
		if look == nil {
			continue
		}
		for _, k := range show.Lineage(loc, look) {
			if slices.Contains(loc.Looks, k) && !slices.Contains(names, k.Name) {
				names = append(names, k.Name)
			}
		}
	}
	return names
}

// renumber gives the lamps of a rig addresses one behind the other, in rig order from
// first on. No lamp reaches over the end of a universe.
func (d *draft) renumber(old string, f *inplace.File, rig []*cues.RigLamp, first string) {
	next, p := showfile.ParseAddress(first)
	if p != nil {
		refuse(p)
	}
	at, depth := find(f, []string{"rig"})
	if depth < 1 {
		return
	}
	n := f.Root().At(at)
	var swaps []inplace.Swap
	for _, l := range rig {
		if next.Slot+l.Lamp.Mode.Footprint-1 > universe {
			if next.Port == lastPort {
				refuse(cues.NewProblem(cues.Pos{File: old}, cues.CodeBadAddress, fmt.Sprintf("no address is left for %q", l.ID),
					fmt.Sprintf("%s is the last universe", cues.PortText(lastPort)), "begin at a lower address"))
			}
			next.Port, next.Slot = next.Port+1, 1
		}
		i := n.Index(l.ID)
		j := n.At([]int{i}).Index("address")
		if i < 0 || j < 0 {
			d.unsure(old, &inplace.UnsureError{Why: fmt.Sprintf("the address of %q was not found", l.ID)})
		}
		swaps = append(swaps, inplace.Swap{Path: append(slices.Clone(at), i, j), Value: inplace.Value(next.String())})
		next.Slot += l.Lamp.Mode.Footprint
	}
	d.unsure(old, f.Replace(swaps...))
}

const (
	universe = 512
	lastPort = 0x7fff // of Art-Net's 15 bits
)

// empty gives the text of a location with nothing in it but what to write.
func (d *draft) empty(file, name string, lead *inplace.Node) *inplace.File {
	var groups []string
	for _, k := range d.current().Looks {
		for i := range k.Paint {
			if on := k.Paint[i].On; !slices.Contains(groups, on) {
				groups = append(groups, on)
			}
		}
	}
	known := "None paints anything yet."
	if len(groups) > 0 {
		known = "They paint: " + strings.Join(groups, ", ") + "."
	}
	head, err := inplace.Open(fmt.Appendf(nil, `# %s. The looks of the show work here as soon as lamps stand in the rig and in groups.
# Points are [x, y, z] in metres: x right, y up the plan, z up from the ground.
`, name))
	d.unsure(file, err)
	for i, kid := range lead.Kids {
		d.unsure(file, head.Insert(nil, i, lead.Keys[i].Text, kid))
	}
	f, err := inplace.Open(fmt.Appendf(slices.Clone(head.Bytes()), `
# Where people will be.
marks:
  a: [0, 0, 0]

# Which lamp of the kit stands where, and the address that is set at the lamp:
#   left: {lamp: T1, at: [-1, 2, 1], along: [1, 0, 0], aim: a, address: 0:0:1.001}
rig: {}

# What lamps do, in words of light, so that looks find them. %s
#   key: [left]
groups: {}
`, known))
	d.unsure(file, err)
	return f
}

// removeLocation takes a location away, with its file.
func (d *draft) removeLocation(e Edit) {
	file := d.file(e.Location)
	d.changes = append(d.changes, Touch{cues.Pos{File: file, Line: 1, Column: 1}, e.String()})
	delete(d.opened, file)
	d.gone[file] = true
}

// current gives the show as the draft has it by now.
func (d *draft) current() *cues.Show {
	if len(d.opened) == 0 && len(d.gone) == 0 {
		return d.show
	}
	show, problems := load(d.show.Dir, d.after())
	if problems.HasErrors() {
		refuse(problems.Errors()[0])
	}
	return show
}
