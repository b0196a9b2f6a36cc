package edit

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/showfile/inplace"
)

// renamer gathers the places of one file that a rename changes.
type renamer struct {
	*draft
	name  string
	file  *inplace.File
	swaps []inplace.Swap
}

func (d *draft) renamer(file string) *renamer {
	return &renamer{draft: d, name: file, file: d.open(file)}
}

// swap has a value written anew; what says of what it is.
func (r *renamer) swap(at []int, key bool, to, what string) {
	r.swaps = append(r.swaps, inplace.Swap{Path: slices.Clone(at), Key: key, Value: inplace.Value(to)})
	r.changes = append(r.changes, Touch{r.pos(r.name, at, key), what})
}

func (r *renamer) done() { r.unsure(r.name, r.file.Replace(r.swaps...)) }

// each calls do for every entry or item of what keys lead to.
func (r *renamer) each(do func(at []int, key string, n *inplace.Node), keys ...string) {
	at, depth := find(r.file, keys)
	if depth < len(keys) {
		return
	}
	n := r.file.Root().At(at)
	for i, kid := range n.Kids {
		key := ""
		if n.Kind == inplace.Map {
			key = n.Keys[i].Text
		}
		do(append(slices.Clone(at), i), key, kid)
	}
}

// singleAt calls do for the single value of a key of the map n at path at.
func singleAt(n *inplace.Node, at []int, key string, do func(at []int, text string)) {
	if i := n.Index(key); i >= 0 && n.Kids[i].Kind == inplace.Single {
		do(append(slices.Clone(at), i), n.Kids[i].Text)
	}
}

// paints calls do for every stroke of paint in the looks of the file.
func (r *renamer) paints(do func(at []int, look string, number int, n *inplace.Node)) {
	r.each(func(at []int, look string, n *inplace.Node) {
		if i := n.Index("paint"); i >= 0 {
			for j, stroke := range n.Kids[i].Kids {
				do(append(slices.Clone(at), i, j), look, j+1, stroke)
			}
		}
	}, "looks")
}

// key renames the entry itself.
func (r *renamer) key(p part, e Edit) {
	r.each(func(at []int, key string, _ *inplace.Node) {
		if key == e.Name {
			r.swap(at, true, e.To, fmt.Sprintf("%s %q is named %q", e.What, e.Name, e.To))
		}
	}, p.section...)
}

func (d *draft) rename(p part, e Edit) {
	if e.Location != "" || !everywhere(e.What) {
		w := d.part(p, e)
		if w.file.Root().At(w.in).Index(e.To) >= 0 {
			d.taken(e, w.name)
		}
	}
	if e.Name == e.To {
		return
	}
	switch e.What {
	case Character:
		d.renameCharacter(p, e)
	case Look:
		d.renameLook(p, e)
	case Group, Mark:
		d.renameEverywhere(p, e)
	case Lamp:
		d.renameLamp(p, e)
	default:
		r := d.renamer(d.file(e.Location))
		r.key(p, e)
		r.done()
	}
}

func (d *draft) taken(e Edit, file string) {
	if e.Name == e.To {
		return
	}
	refuse(cues.NewProblem(cues.Pos{File: file}, cues.CodeDuplicateName, fmt.Sprintf("there is a %s %q already", e.What, e.To),
		"what names it would mean another then", "choose another name"))
}

// all lists show.yaml and the files of the locations.
func (d *draft) all() []string { return append([]string{"show.yaml"}, d.places()...) }

// renameCharacter changes the cast, who wears it, and whose colours are named.
func (d *draft) renameCharacter(p part, e Edit) {
	for _, file := range d.all() {
		r := d.renamer(file)
		if file == "show.yaml" {
			r.key(p, e)
		}
		r.each(func(at []int, look string, n *inplace.Node) {
			singleAt(n, at, "wears", func(at []int, text string) {
				if text == e.Name {
					r.swap(at, false, e.To, fmt.Sprintf("look %q wears it", look))
				}
			})
		}, "looks")
		r.paints(func(at []int, look string, number int, n *inplace.Node) {
			r.colours(n, at, e, fmt.Sprintf("paint %d of look %q", number, look))
		})
		for _, light := range []What{FloorLight, WorkLight} {
			if at, depth := find(r.file, parts[light].section); depth == 2 {
				r.colours(r.file.Root().At(at), at, e, string(light))
			}
		}
		r.done()
	}
}

// colours renames the owner in "warden.lead".
func (r *renamer) colours(n *inplace.Node, at []int, e Edit, what string) {
	one := func(at []int, text string) {
		if own, ok := strings.CutPrefix(text, e.Name+"."); ok {
			r.swap(at, false, e.To+"."+own, fmt.Sprintf("%s has its colour %q", what, own))
		}
	}
	singleAt(n, at, "colour", one)
	if i := n.Index("colours"); i >= 0 {
		for j, c := range n.Kids[i].Kids {
			if c.Kind == inplace.Single {
				one(append(slices.Clone(at), i, j), c.Text)
			}
		}
	}
}

// renameLook changes a look, those that start from it, and the cues that run it.
func (d *draft) renameLook(p part, e Edit) {
	for _, file := range d.places() {
		own := d.has(file, "looks", e.Name)
		if e.Location == "" && (d.has(file, "looks", e.To) || own && d.startsFrom("show.yaml", e.Name)) ||
			e.Location == placeName(file) && (d.has("show.yaml", "looks", e.To) || d.startsFrom("show.yaml", e.Name)) {
			d.taken(e, file)
		}
	}
	for _, file := range d.all() {
		home := d.file(e.Location)
		if file != home && e.Location != "" {
			continue
		}
		r := d.renamer(file)
		hidden := file != home && d.has(file, "looks", e.Name) // a look of the location stands before it
		if file == home {
			r.key(p, e)
		}
		r.each(func(at []int, look string, n *inplace.Node) {
			self := look == e.Name // starts from the look of the show with its own name
			singleAt(n, at, "from", func(at []int, text string) {
				if text == e.Name && (file == home && !self || file != home && (!hidden || self)) {
					r.swap(at, false, e.To, fmt.Sprintf("look %q starts from it", look))
				}
			})
		}, "looks")
		if !hidden {
			r.each(func(at []int, _ string, n *inplace.Node) {
				singleAt(n, at, "look", func(in []int, text string) {
					if text == e.Name {
						r.swap(in, false, e.To, fmt.Sprintf("cue %d at %s runs it", at[len(at)-1]+1, file))
					}
				})
			}, "cues")
		}
		r.done()
	}
}

// has reports whether a file has a name in a section.
func (d *draft) has(file, section, name string) bool {
	return d.open(file).Root().Get(section).Index(name) >= 0
}

// startsFrom reports whether a look of the file starts from name.
func (d *draft) startsFrom(file, name string) bool {
	looks := d.open(file).Root().Get("looks")
	return looks != nil && slices.ContainsFunc(looks.Kids, func(k *inplace.Node) bool {
		from := k.Get("from")
		return from != nil && from.Text == name
	})
}

var (
	underAt = regexp.MustCompile(`^(.*\sunder\s+)(\S+)(\s+at\s+)(\S+)$`)
	onlyAt  = regexp.MustCompile(`^(.*\slx\s+at\s+)(\S+)$`)
	along   = regexp.MustCompile(`^(.*\salong\s+)(\S+)$`)
)

// renameEverywhere changes a group or a mark of one location, or of all and of
// the show.
func (d *draft) renameEverywhere(p part, e Edit) {
	found := false
	for _, file := range d.all() {
		if e.Location != "" && file != d.file(e.Location) {
			continue
		}
		if file != "show.yaml" && d.has(file, p.section[0], e.To) {
			d.taken(e, file)
		}
		found = found || file != "show.yaml" && d.has(file, p.section[0], e.Name)
	}
	if !found {
		refuse(cues.NewProblem(cues.Pos{}, unknownCodes[e.What], fmt.Sprintf("no location has a %s %q", e.What, e.Name), "none is named so", "choose one that is there"))
	}
	for _, file := range d.all() {
		if e.Location != "" && file != d.file(e.Location) {
			continue
		}
		r := d.renamer(file)
		if file != "show.yaml" {
			r.key(p, e)
		}
		if e.What == Group {
			r.group(e)
		} else {
			r.mark(e)
		}
		r.done()
	}
}

// group renames a group wherever the file names it.
func (r *renamer) group(e Edit) {
	r.paints(func(at []int, look string, number int, n *inplace.Node) {
		what := fmt.Sprintf("paint %d of look %q", number, look)
		singleAt(n, at, "on", func(at []int, text string) {
			if text == e.Name {
				r.swap(at, false, e.To, what+" is on it")
			}
		})
		singleAt(n, at, "level", func(at []int, text string) {
			if m := underAt.FindStringSubmatch(text); m != nil && m[2] == e.Name {
				r.swap(at, false, m[1]+e.To+m[3]+m[4], what+" is measured under it")
			}
		})
	})
	r.each(func(at []int, setup string, n *inplace.Node) {
		if i := n.Index("trim"); i >= 0 {
			if j := n.Kids[i].Index(e.Name); j >= 0 {
				r.swap(append(slices.Clone(at), i, j), true, e.To, fmt.Sprintf("set-up %q trims it", setup))
			}
		}
		for key, what := range map[string]string{"swap": "swaps", "mirror": "mirrors"} {
			if i := n.Index(key); i >= 0 {
				r.names(n.Kids[i], append(slices.Clone(at), i), e, fmt.Sprintf("set-up %q %s it", setup, what))
			}
		}
	}, "setups")
	r.each(func(at []int, _ string, n *inplace.Node) {
		singleAt(n, at, "spread", func(in []int, text string) {
			if m := along.FindStringSubmatch(text); m != nil && m[2] == e.Name {
				r.swap(in, false, m[1]+e.To, fmt.Sprintf("cue %d at %s spreads along it", at[len(at)-1]+1, r.name))
			}
		})
	}, "cues")
	for _, light := range []What{FloorLight, WorkLight} {
		if at, depth := find(r.file, parts[light].section); depth == 2 {
			singleAt(r.file.Root().At(at), at, "on", func(at []int, text string) {
				if text == e.Name {
					r.swap(at, false, e.To, string(light)+" is on it")
				}
			})
		}
	}
}

// names renames a name in a list of them, and in lists in it.
func (r *renamer) names(n *inplace.Node, at []int, e Edit, what string) {
	for i, kid := range n.Kids {
		in := append(slices.Clone(at), i)
		if kid.Kind == inplace.Single && kid.Text == e.Name {
			r.swap(in, false, e.To, what)
		}
		r.names(kid, in, e, what)
	}
}

// mark renames a mark wherever the file names it.
func (r *renamer) mark(e Edit) {
	same := func(what string) func(at []int, text string) {
		return func(at []int, text string) {
			if text == e.Name {
				r.swap(at, false, e.To, what)
			}
		}
	}
	r.each(func(at []int, lamp string, n *inplace.Node) {
		singleAt(n, at, "aim", same(fmt.Sprintf("lamp %q aims at it", lamp)))
	}, "rig")
	r.each(func(at []int, in string, n *inplace.Node) {
		singleAt(n, at, "at", same(fmt.Sprintf("stand-in %q stands on it", in)))
		singleAt(n, at, "facing", same(fmt.Sprintf("stand-in %q faces it", in)))
		singleAt(n, at, "walk", same(fmt.Sprintf("stand-in %q walks it", in)))
	}, "stand-ins")
	r.each(func(at []int, setup string, n *inplace.Node) {
		singleAt(n, at, "look-at", same(fmt.Sprintf("set-up %q looks at it", setup)))
	}, "setups")
	r.paints(func(at []int, look string, number int, n *inplace.Node) {
		singleAt(n, at, "level", func(at []int, text string) {
			what := fmt.Sprintf("paint %d of look %q is measured at it", number, look)
			if m := underAt.FindStringSubmatch(text); m != nil && m[4] == e.Name {
				r.swap(at, false, m[1]+m[2]+m[3]+e.To, what)
			} else if m := onlyAt.FindStringSubmatch(text); m != nil && m[2] == e.Name {
				r.swap(at, false, m[1]+e.To, what)
			}
		})
	})
}
