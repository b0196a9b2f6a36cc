package compile

import (
	"cmp"
	"math"
	"slices"

	"linkboy/colour"
	"linkboy/cues/take"
	"linkboy/cues/track"
)

// recall makes a still of what lamps had.
type recall struct {
	place   *Place
	still   track.Still
	overall float32
	report  take.Recalled
	exact   []take.Pair // lamps whose bytes are to be the very ones
	index   []int       // of each in place.lamps
	solved  []take.Pair
	at      []int
}

// Recall gives the still that shows again what lamps had at an event, under the
// overall level and, unless it was dark, the floor light that were on then, and how
// far that goes. A lamp of the same type and mode gets the very bytes, wherever it is
// addressed now. One of another takes its own mix for the light that was recorded: by
// lumens and chromaticity, cell by cell along its length, its parameters safe.
func (p *Place) Recall(e *take.Event) (track.Still, take.Recalled) {
	r := &recall{place: p, still: p.Dark(), overall: float32(Overall(e)),
		report: take.Recalled{Solved: []take.Solved{}, Missing: []take.LampName{}, Spare: []take.LampName{}, Lifted: []take.LampName{}}}
	now := p.Recorded(nil)
	pairs := take.Match(e.Lamps, now)
	for i, pair := range pairs {
		switch {
		case pair.Now == nil:
			if pair.Then.Light().Y > 0 {
				r.report.Missing = append(r.report.Missing, nameOf(pair.Then))
			}
		case pair.Then == nil:
			r.report.Spare = append(r.report.Spare, nameOf(pair.Now))
		case pair.Then.Same(pair.Now):
			r.copy(&p.lamps[i], pair.Then)
			r.exact, r.index = append(r.exact, pair), append(r.index, i)
		default:
			r.solve(&p.lamps[i], pair.Then)
			r.solved, r.at = append(r.solved, pair), append(r.at, i)
		}
	}
	r.lift(!e.Dark)
	r.tell(!e.Dark)
	return r.still, r.report
}

// Overall gives the overall level that an event is to be shown under.
func Overall(e *take.Event) float64 {
	if e.Overall > 0 && e.Overall <= 1 {
		return e.Overall
	}
	return 1
}

func nameOf(l *take.Lamp) take.LampName { return take.LampName{Kit: l.Kit, Rig: l.Rig, Type: l.Type} }

// slotsOf gives the slots of a lamp, emitters and parameters, as indices into the layout.
func (p *Place) slotsOf(l *rigged) []int {
	var slots []int
	for _, c := range p.Cells[l.first : l.first+l.n] {
		for k := range c.N {
			slots = append(slots, c.First+k)
		}
	}
	for _, q := range l.params {
		slots = append(slots, q.slot)
	}
	return slots
}

// copy takes the bytes of a lamp: each slot the middle of the values that make its
// code, so that no rounding on the way can change it.
func (r *recall) copy(l *rigged, then *take.Lamp) {
	for _, i := range r.place.slotsOf(l) {
		slot := &r.place.Layout.Slots[i]
		low, high := r.place.Layout.Values(slot, codeIn(slot, l, then))
		r.still[i] = r.under(slot, within(low, high, 0.5))
	}
}

// within gives a value between two, but the ends themselves for nothing and for full.
func within(low, high, share float32) float32 {
	switch {
	case low == 0:
		return 0
	case high == 1:
		return 1
	}
	return low + share*(high-low)
}

// codeIn is the code that a slot of a lamp had in its bytes.
func codeIn(slot *track.Slot, l *rigged, then *take.Lamp) uint16 {
	at := int(slot.Offset) - l.start
	if slot.Wide {
		return uint16(then.Bytes[at])<<8 | uint16(then.Bytes[at+1])
	}
	return uint16(then.Bytes[at])
}

// under gives the value that makes v under the overall level.
func (r *recall) under(slot *track.Slot, v float32) float32 {
	if slot.Param {
		return v
	}
	return min(v/r.overall, 1)
}

// solve mixes the light of a lamp anew.
func (r *recall) solve(l *rigged, then *take.Lamp) {
	for i, want := range then.Spread(l.n) {
		c := &r.place.Cells[l.first+i]
		if !(want.Y > 0) {
			continue
		}
		s := c.mix.Solve(want.XY(), 1, r.place.Balance)
		share := min(want.Y/s.Most, 1)
		drives := s.Drives.Scale(share)
		for k := range drives {
			drives[k] = min(drives[k]/float64(r.overall), 1)
		}
		c.put(r.still, drives)
	}
}

// lift raises the values of cells that floor light would add a rounding's worth to.
func (r *recall) lift(floor bool) {
	if !floor {
		return
	}
	frame := r.frame(floor)
	for k, pair := range r.exact {
		l := &r.place.lamps[r.index[k]]
		if slices.Equal(r.bytes(l, frame), pair.Then.Bytes) {
			continue
		}
		for _, i := range r.place.slotsOf(l) {
			slot := &r.place.Layout.Slots[i]
			low, high := r.place.Layout.Values(slot, codeIn(slot, l, pair.Then))
			r.still[i] = r.under(slot, within(low, high, 0.99))
		}
	}
}

func (r *recall) frame(floor bool) [][]byte {
	frame := r.place.Layout.NewFrame()
	r.place.Layout.Write(r.still, r.overall, floor, frame)
	return frame
}

func (r *recall) bytes(l *rigged, frame [][]byte) []byte {
	return frame[l.universe][l.start : l.start+l.mode.Footprint]
}

// tell reads back from the bytes what became of every lamp.
func (r *recall) tell(floor bool) {
	frame := r.frame(floor)
	light := make([]colour.XYZ, len(r.place.Cells))
	r.place.Light(frame, light)
	for k, pair := range r.exact {
		if slices.Equal(r.bytes(&r.place.lamps[r.index[k]], frame), pair.Then.Bytes) {
			r.report.Same++
		} else {
			r.report.Lifted = append(r.report.Lifted, nameOf(pair.Now))
		}
	}
	for k, pair := range r.solved {
		l := &r.place.lamps[r.at[k]]
		s := take.Solved{LampName: nameOf(pair.Now), Was: pair.Then.Type + " " + pair.Then.Mode}
		for i, want := range pair.Then.Spread(l.n) {
			stops, uv := take.Apart(want, light[l.first+i])
			if math.Abs(stops) > math.Abs(s.Stops) {
				s.Stops = stops
			}
			s.DeltaUV = max(s.DeltaUV, uv)
		}
		if l.n == 0 && pair.Then.Light().Y > 0 { // it gives no light at all
			s.Stops, _ = take.Apart(pair.Then.Light(), colour.XYZ{})
		}
		r.report.Solved = append(r.report.Solved, s)
	}
	slices.SortStableFunc(r.report.Solved, func(a, b take.Solved) int {
		return cmp.Compare(max(math.Abs(b.Stops)/take.NearStops, b.DeltaUV/take.NearDeltaUV), max(math.Abs(a.Stops)/take.NearStops, a.DeltaUV/take.NearDeltaUV))
	})
}
