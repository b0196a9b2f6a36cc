package take

import (
	"cmp"
	"math"
	"slices"

	"linkboy/colour"
)

// What the same look again should be within, from which on a difference counts:
// common practice, no source.
const (
	NearStops   = 0.2
	NearDeltaUV = 0.003
)

// black is the light, in lumens, under which a lamp counts as dark.
const black = 1e-3

// mostStops is the largest difference that is told: further apart is the same as
// light against none.
const mostStops = 20

// State says what became of a lamp.
type State string

// What can have become of a lamp.
const (
	Near    State = "near"    // it gives the same light, within NearStops and NearDeltaUV
	Differs State = "differs" // it gives other light
	WentOff State = "off"     // it gave light and is dark
	CameOn  State = "on"      // it was dark and gives light
	Gone    State = "gone"    // it is not at the location any more
	New     State = "new"     // it was not there at the take
)

// Difference is one lamp of a take against the set.
type Difference struct {
	Kit     string  `json:"kit"`
	Rig     string  `json:"rig"`
	State   State   `json:"state"`
	Stops   float64 `json:"stops"`    // now over then; within 20 either way
	DeltaUV float64 `json:"delta_uv"` // CIE 1976 u'v'; 0 where one of them is dark
	// Cell is the cell that differs most, from 1; 0 where cells cannot be compared.
	Cell        int     `json:"cell"`
	CellStops   float64 `json:"cell_stops"`
	CellDeltaUV float64 `json:"cell_delta_uv"`
	LumensThen  float64 `json:"lumens_then"`
	LumensNow   float64 `json:"lumens_now"`
	// Other is what is another: "type", "mode", "address", "place".
	Other []string `json:"other"`
	worst float64
}

// Compare tells how lamps differ from what they had, worst first.
func Compare(then, now []Lamp) []Difference {
	list := []Difference{}
	for _, p := range Match(then, now) {
		list = append(list, difference(p))
	}
	slices.SortStableFunc(list, func(a, b Difference) int { return cmp.Compare(b.worst, a.worst) })
	return list
}

func difference(p Pair) Difference {
	d := Difference{Other: []string{}}
	switch {
	case p.Now == nil:
		d.Kit, d.Rig, d.State = p.Then.Kit, p.Then.Rig, Gone
		d.LumensThen = p.Then.Light().Y
		if d.LumensThen > black {
			d.Stops = -mostStops
		}
		d.worst = math.Abs(d.Stops)/NearStops + 2
		return d
	case p.Then == nil:
		d.Kit, d.Rig, d.State = p.Now.Kit, p.Now.Rig, New
		d.LumensNow = p.Now.Light().Y
		if d.LumensNow > black {
			d.Stops = mostStops
		}
		d.worst = math.Abs(d.Stops)/NearStops + 1
		return d
	}
	d.Kit, d.Rig, d.Other = p.Now.Kit, p.Now.Rig, others(p)
	a, b := p.Then.Light(), p.Now.Light()
	d.LumensThen, d.LumensNow = a.Y, b.Y
	d.Stops, d.DeltaUV = Apart(a, b)
	d.worst = far(d.Stops, d.DeltaUV)
	if len(p.Then.Cells) == len(p.Now.Cells) {
		for i := range p.Now.Cells {
			stops, uv := Apart(light(p.Then.Cells[i]), light(p.Now.Cells[i]))
			if f := far(stops, uv); d.Cell == 0 || f > far(d.CellStops, d.CellDeltaUV) {
				d.Cell, d.CellStops, d.CellDeltaUV = i+1, stops, uv
			}
		}
		d.worst = max(d.worst, far(d.CellStops, d.CellDeltaUV))
	}
	d.State = d.state()
	return d
}

func (d *Difference) state() State {
	switch {
	case d.worst <= 1:
		return Near
	case d.LumensThen > black && d.LumensNow <= black:
		return WentOff
	case d.LumensThen <= black && d.LumensNow > black:
		return CameOn
	}
	return Differs
}

// others lists what is another of a lamp.
func others(p Pair) []string {
	list := []string{}
	for _, o := range []struct {
		is   bool
		word string
	}{
		{p.Then.Type != p.Now.Type, "type"}, {p.Then.Mode != p.Now.Mode, "mode"},
		{p.Then.Address != p.Now.Address, "address"}, {p.Then.Rig != p.Now.Rig, "place"},
	} {
		if o.is {
			list = append(list, o.word)
		}
	}
	return list
}

// far is how many times what counts a difference is.
func far(stops, uv float64) float64 { return max(math.Abs(stops)/NearStops, uv/NearDeltaUV) }

// Apart gives how light b differs from a: in stops, and in CIE 1976 u'v', which is 0
// where one of them is dark.
func Apart(a, b colour.XYZ) (stops, deltaUV float64) {
	switch {
	case a.Y <= black && b.Y <= black:
		return 0, 0
	case a.Y <= black:
		return mostStops, 0
	case b.Y <= black:
		return -mostStops, 0
	}
	return min(max(math.Log2(b.Y/a.Y), -mostStops), mostStops), a.XY().UV().Distance(b.XY().UV())
}

// Light is the light of all cells together, Y in lumens.
func (l *Lamp) Light() colour.XYZ {
	var sum colour.XYZ
	for _, c := range l.Cells {
		at := light(c)
		sum.X, sum.Y, sum.Z = sum.X+at.X, sum.Y+at.Y, sum.Z+at.Z
	}
	return sum
}

func light(c [3]float32) colour.XYZ {
	return colour.XYZ{X: float64(c[0]), Y: float64(c[1]), Z: float64(c[2])}
}

// Spread gives the light of a lamp as one of n cells along the same length would
// have it: each new cell the light of its part of the length.
func (l *Lamp) Spread(n int) []colour.XYZ {
	out := make([]colour.XYZ, n)
	m := len(l.Cells)
	for i := range out {
		from, to := float64(i)*float64(m)/float64(n), float64(i+1)*float64(m)/float64(n)
		for k := int(from); k < m && float64(k) < to; k++ {
			share := min(to, float64(k+1)) - max(from, float64(k))
			at := light(l.Cells[k])
			out[i].X, out[i].Y, out[i].Z = out[i].X+share*at.X, out[i].Y+share*at.Y, out[i].Z+share*at.Z
		}
	}
	return out
}

// Recalled is how far a rig can show a take again.
type Recalled struct {
	Same    int        `json:"same"`    // lamps with the very bytes
	Solved  []Solved   `json:"solved"`  // of another type or mode: mixed anew, the worst first
	Missing []LampName `json:"missing"` // had light in the take and are not here
	Spare   []LampName `json:"spare"`   // are here and were not in the take: dark
	// Lifted are lamps that floor light holds over what they had.
	Lifted []LampName `json:"lifted"`
}

// Solved is a lamp whose light was mixed anew.
type Solved struct {
	LampName
	Was     string  `json:"was"` // type and mode in the take
	Stops   float64 `json:"stops"`
	DeltaUV float64 `json:"delta_uv"`
}

// LampName says which lamp is meant.
type LampName struct {
	Kit  string `json:"kit"`
	Rig  string `json:"rig"`
	Type string `json:"type"`
}
