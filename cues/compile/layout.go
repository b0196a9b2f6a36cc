package compile

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/track"
)

// layer builds the layout of a place lamp by lamp.
type layer struct {
	place    *Place
	universe map[uint16]int
	curve    map[lamp.Curve]int
	mix      map[kindMode]*emitters.Cell
	problems cues.Problems
}

// kindMode is what cells share their emitters by: units of one type may have
// emitters of their own and share its modes.
type kindMode struct {
	kind *lamp.Type
	mode *lamp.Mode
}

// lay builds the layout, the lamps and the cells of p.
func (p *Place) lay() cues.Problems {
	l := &layer{place: p, universe: map[uint16]int{}, curve: map[lamp.Curve]int{}, mix: map[kindMode]*emitters.Cell{}}
	p.Layout = &track.Layout{}
	l.universes()
	for _, r := range p.Location.Rig {
		l.lamp(r)
	}
	if l.problems.HasErrors() {
		return l.problems
	}
	l.still()
	p.scratch.New = func() any { s := make([]emitters.Drives, len(p.Cells)); return &s }
	return l.problems
}

// universes lists the port-addresses in use, each as long as its last lamp needs.
func (l *layer) universes() {
	length := map[uint16]int{}
	for _, r := range l.place.Location.Rig {
		if r.Lamp == nil || r.Lamp.Mode == nil {
			continue
		}
		end := r.Address.Slot - 1 + r.Lamp.Mode.Footprint
		length[r.Address.Port] = max(length[r.Address.Port], end)
	}
	for port, n := range length {
		n = min(max(n+n%2, 2), 512)
		l.place.Layout.Universes = append(l.place.Layout.Universes, track.Universe{Address: port, Base: make([]byte, n)})
	}
	slices.SortFunc(l.place.Layout.Universes, func(a, b track.Universe) int { return cmp.Compare(a.Address, b.Address) })
	for i, u := range l.place.Layout.Universes {
		l.universe[u.Address] = i
	}
}

func (l *layer) refuse(at cues.Pos, code, what, why, mend string) {
	l.problems = append(l.problems, cues.NewProblem(at, code, what, why, mend))
}

// lamp adds one lamp: its slots, its cells, its safe bytes.
func (l *layer) lamp(r *cues.RigLamp) {
	if r.Lamp == nil || r.Lamp.Type == nil || r.Lamp.Mode == nil {
		l.refuse(r.At, cues.CodeUnknownLamp, fmt.Sprintf("no lamp stands at %q", r.ID), "the kit has no such lamp", "name a lamp of kit.yaml")
		return
	}
	kind, mode := r.Lamp.Type, r.Lamp.Mode
	universe := l.universe[r.Address.Port]
	base := l.place.Layout.Universes[universe].Base
	start := r.Address.Slot - 1
	if start < 0 || start+mode.Footprint > len(base) {
		l.refuse(r.Address.At, cues.CodeAddressOverrun, fmt.Sprintf("%q at %s does not fit its universe", r.ID, r.Address),
			fmt.Sprintf("it takes %d slots and a universe has 512", mode.Footprint), "give it a lower start slot")
		return
	}
	mix, err := l.mixOf(kind, mode)
	if err != nil {
		l.refuse(r.At, cues.CodeBadLampType, fmt.Sprintf("%q cannot be lit", r.ID), err.Error(), "mend the lamp type "+kind.Name)
		return
	}
	mode.Encode(kind, nil, nil, base[start:start+mode.Footprint])
	rig := rigged{lamp: r, kind: kind, mode: mode, first: len(l.place.Cells), universe: universe, start: start}
	if mix != nil {
		if !l.cells(&rig, mix) {
			l.refuse(r.At, cues.CodeBadLampType, fmt.Sprintf("%q cannot be lit", r.ID),
				fmt.Sprintf("mode %q of %s has not one channel for every emitter of every cell", mode.Name, kind.Name), "mend the channels of the mode")
			return
		}
	}
	l.params(&rig)
	l.place.byLamp[r] = len(l.place.lamps)
	l.place.lamps = append(l.place.lamps, rig)
}

func (l *layer) mixOf(kind *lamp.Type, mode *lamp.Mode) (*emitters.Cell, error) {
	key := kindMode{kind, mode}
	if mix, ok := l.mix[key]; ok {
		return mix, nil
	}
	mix, err := kind.CellOf(mode)
	if err == nil {
		l.mix[key] = mix
	}
	return mix, err
}

// cells adds the cells of a lamp and their slots, cell by cell and emitter by
// emitter. It is false when a cell lacks the channel of an emitter.
func (l *layer) cells(rig *rigged, mix *emitters.Cell) bool {
	n := mix.Len()
	slots := make([]track.Slot, rig.mode.Cells*n)
	have := 0
	curve := l.curveOf(rig.mode.Curve)
	for _, ch := range rig.mode.Channels {
		if ch.Param != nil {
			continue
		}
		if ch.Cell < 0 || ch.Cell >= rig.mode.Cells || ch.Emitter < 0 || ch.Emitter >= n {
			return false
		}
		slots[ch.Cell*n+ch.Emitter] = track.Slot{
			Universe: int32(rig.universe), Offset: int32(rig.start + ch.Offset), Wide: ch.Bits == 16, Curve: curve,
		}
		have++
	}
	if have != len(slots) {
		return false
	}
	full := emitters.Drives{}
	for i := range n {
		full[i] = 1
	}
	most := mix.Light(full).Y
	first := len(l.place.Layout.Slots)
	l.place.Layout.Slots = append(l.place.Layout.Slots, slots...)
	for i := range rig.mode.Cells {
		l.place.Cells = append(l.place.Cells, Cell{
			Lamp: rig.lamp, Index: i, Place: cellPlace(rig.lamp, rig.kind, i, rig.mode.Cells),
			First: first + i*n, N: n, MostLumens: most, mix: mix,
		})
	}
	rig.n = rig.mode.Cells
	return true
}

// params adds the slots of a lamp's parameters.
func (l *layer) params(rig *rigged) {
	for i := range rig.mode.Channels {
		ch := &rig.mode.Channels[i]
		if ch.Param == nil {
			continue
		}
		rig.params = append(rig.params, param{slot: len(l.place.Layout.Slots), def: ch.Param})
		l.place.Layout.Slots = append(l.place.Layout.Slots, track.Slot{
			Universe: int32(rig.universe), Offset: int32(rig.start + ch.Offset), Wide: ch.Bits == 16,
			Param: true, Curve: l.curveOf(emitters.LinearName), Safe: float32(ch.Param.Share(ch.Param.Safe)),
			Stops: ch.Param.Stops || rig.kind.Class == lamp.Fog,
		})
	}
}

// curveOf gives the index of a curve's table, made on first use. An unknown
// curve counts as linear, as it does in colour/lamp.
func (l *layer) curveOf(name lamp.Curve) int32 {
	if i, ok := l.curve[name]; ok {
		return int32(i)
	}
	table := track.Curve{}
	if curve, err := emitters.CurveByName(string(name)); err == nil {
		table = track.NewCurve(curve.Control)
	}
	i := len(l.place.Layout.Curves)
	l.curve[name] = i
	l.place.Layout.Curves = append(l.place.Layout.Curves, table)
	return int32(i)
}

// still makes the still with no light and safe parameters.
func (l *layer) still() {
	dark := make(track.Still, len(l.place.Layout.Slots))
	for i, s := range l.place.Layout.Slots {
		dark[i] = s.Safe
	}
	l.place.dark = dark
}

// cellPlace gives the middle of mode cell i of n. The lamp's place is its
// middle; its cells lie in equal parts along its emitting face.
func cellPlace(r *cues.RigLamp, kind *lamp.Type, i, n int) cues.Point {
	norm := math.Sqrt(r.Along[0]*r.Along[0] + r.Along[1]*r.Along[1] + r.Along[2]*r.Along[2])
	if norm == 0 || n < 2 {
		return r.Place
	}
	at := ((float64(i)+0.5)/float64(n) - 0.5) * kind.Photometry.LengthM / norm
	return cues.Point{r.Place[0] + at*r.Along[0], r.Place[1] + at*r.Along[1], r.Place[2] + at*r.Along[2]}
}
