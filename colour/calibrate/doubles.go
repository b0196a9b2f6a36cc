package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// contradictions looks for readings of one emitter at one level that do not
// agree. Of three and more those far from the median are left out; of two
// nobody can tell which is wrong, and their mean is used.
func (f *fit) contradictions() {
	done := map[*vetted]bool{}
	for _, v := range f.readings {
		if v.emitter < 0 || done[v] {
			continue
		}
		var same []*vetted
		for _, w := range f.readings {
			if w.emitter == v.emitter && w.control == v.control {
				same, done[w] = append(same, w), true
			}
		}
		f.doubleLux(same)
		f.doubleColour(same)
	}
}

func (f *fit) doubleLux(same []*vetted) {
	same = slices.DeleteFunc(slices.Clone(same), func(v *vetted) bool { return !v.lux })
	if len(same) < 2 {
		return
	}
	slices.SortStableFunc(same, func(a, b *vetted) int { return cmp.Compare(a.lumens, b.lumens) })
	stops := func(a, b *vetted) float64 { return math.Log2(a.lumens / b.lumens) }
	if len(same) == 2 {
		if off := stops(same[1], same[0]); off > doubleStops {
			f.against(same, func(v *vetted) (string, string) {
				return fmt.Sprintf("%g lx at %g m", v.Lux, v.DistanceM), fmt.Sprintf("%.2f stop apart in lumens; their mean is used", off)
			}, false)
		}
		return
	}
	middle := same[len(same)/2]
	for _, v := range same {
		if off := stops(v, middle); math.Abs(off) > doubleStops {
			f.against([]*vetted{v, middle}, func(v *vetted) (string, string) {
				return fmt.Sprintf("%g lx at %g m", v.Lux, v.DistanceM), fmt.Sprintf("%+.2f stop from the middle of %d readings in lumens", off, len(same))
			}, true)
			v.lux = false
		}
	}
}

// doubleColour names the first two colours that are too far apart.
func (f *fit) doubleColour(same []*vetted) {
	for i, v := range same {
		for _, w := range same[:i] {
			if !v.tint || !w.tint {
				continue
			}
			if off := v.colour.UV().Distance(w.colour.UV()); off > doubleUV {
				f.against([]*vetted{v, w}, func(v *vetted) (string, string) {
					return "xy " + short(v.colour), fmt.Sprintf("%.3f u'v' apart; a spectrum is believed before an xy, else their mean is used", off)
				}, false)
				return
			}
		}
	}
}

// against adds the fault of two readings of one thing, at the later of them
// unless the first is refused.
func (f *fit) against(pair []*vetted, say func(*vetted) (what, off string), refused bool) {
	v, w := pair[0], pair[1]
	if !refused && w.index > v.index {
		v, w = w, v
	}
	what, off := say(v)
	other, _ := say(w)
	f.faults = append(f.faults, Fault{
		Reading: v.index, Against: []int{w.index}, Emitter: v.Emitter, Kind: Contradiction, Refused: refused, What: what,
		Why:  fmt.Sprintf("reading %d read %s of the same emitter at the same level, %s", w.index+1, other, off),
		Mend: "read it again from the same place with the lamp warm, and take out the one that is wrong",
	})
}
