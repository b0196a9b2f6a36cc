package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

const (
	// fallStops is by how much light may fall with rising control before it is
	// more than a meter's noise.
	fallStops = 0.1
	// tie is the weight, against that of a reading, with which the curve is
	// held to the type's where readings leave it open.
	tie = 1e-6
	// leastRise parts two points of a curve, as a ratio of light.
	leastRise = 1.0001
	// sameCurve is how far from the type's curve, as a ratio of light, a
	// curve may lie that is the type's.
	sameCurve = 1e-4
)

// level is one level of control at which light was read.
type level struct {
	control  float64
	light    float64 // ln of the share of full light
	count    int
	readings []int
}

// levels fits the lumens of the emitters and the dimmer curve to the lux.
func (f *fit) levels() {
	var used []*vetted
	for _, v := range f.readings {
		if v.lux {
			used = append(used, v)
		}
	}
	if len(used) == 0 {
		return
	}
	levels := f.lightOf(used)
	f.falls(levels)
	f.setCurve(points(levels))
	f.setLumens(used)
}

// lightOf solves ln lumens = ln(emitter's) + ln(curve at the level) for the
// curve: least squares over all readings used, with one unknown for each
// emitter and each level below full. Returns the levels in rising order.
func (f *fit) lightOf(used []*vetted) []level {
	levels := levelsOf(used)
	n := len(f.made.Emitters)
	normal := make([][]float64, n+len(levels)) // rows of the normal equations; the last column is the right side
	for i := range normal {
		normal[i] = make([]float64, len(normal)+1)
		normal[i][i] = 1e-12 // emitters without lux stay where they are
	}
	add := func(i, j int, v float64) { normal[i][j] += v }
	for _, v := range used {
		// In units of the type: what is sought is ln of unit over type.
		off := math.Log(v.lumens / f.made.Emitters[v.emitter].Lumens / f.light(v.control))
		e := v.emitter
		add(e, e, 1)
		add(e, len(normal), off)
		k, below := slices.BinarySearchFunc(levels, v.control, func(l level, c float64) int { return cmp.Compare(l.control, c) })
		if !below {
			continue // full: the curve is 1
		}
		add(e, n+k, 1)
		add(n+k, e, 1)
		add(n+k, n+k, 1)
		add(n+k, len(normal), off)
	}
	for k, l := range levels {
		add(n+k, n+k, tie*math.Pow(l.control/levels[len(levels)-1].control, 8)) // the highest level is held the firmest
	}
	found := solve(normal)
	for k := range levels {
		levels[k].light = math.Log(f.light(levels[k].control)) + found[n+k]
	}
	return levels
}

// levelsOf lists the levels below full, in rising order.
func levelsOf(used []*vetted) (levels []level) {
	for _, v := range used {
		if v.control >= 1 {
			continue
		}
		i := slices.IndexFunc(levels, func(l level) bool { return l.control == v.control })
		if i < 0 {
			i, levels = len(levels), append(levels, level{control: v.control})
		}
		levels[i].count++
		levels[i].readings = append(levels[i].readings, v.index)
	}
	slices.SortFunc(levels, func(a, b level) int { return cmp.Compare(a.control, b.control) })
	return levels
}

// solve solves the normal equations, which are positive definite: rows of a
// square matrix with the right side as last column. It overwrites them.
func solve(rows [][]float64) []float64 {
	n := len(rows)
	for i := range n {
		for j := i + 1; j < n; j++ {
			k := rows[j][i] / rows[i][i]
			for c := i; c <= n; c++ {
				rows[j][c] -= k * rows[i][c]
			}
		}
	}
	x := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = rows[i][n]
		for j := i + 1; j < n; j++ {
			x[i] -= rows[i][j] * x[j]
		}
		x[i] /= rows[i][i]
	}
	return x
}

// falls names levels that give more light than the next one up.
func (f *fit) falls(levels []level) {
	for i, l := range levels {
		next := level{control: 1}
		if i+1 < len(levels) {
			next = levels[i+1]
		}
		stops := (l.light - next.light) / math.Ln2
		if stops <= fallStops {
			continue
		}
		at := "full"
		if next.control < 1 {
			at = share(next.control)
		} else {
			next.readings = f.atFull()
		}
		f.faults = append(f.faults, Fault{
			Reading: l.readings[0], Against: append(slices.Clone(l.readings[1:]), next.readings...), Emitter: f.readings[l.readings[0]].Emitter,
			Kind: FallingCurve, What: fmt.Sprintf("the light at %s of control", share(l.control)),
			Why:  fmt.Sprintf("it is %.2f stop more than at %s, and a lamp gets no dimmer when it is driven harder; the two are levelled", stops, at),
			Mend: "check that the two levels, and the distances, are not mixed up, and read them again",
		})
	}
}

// atFull returns the readings of lux at full control.
func (f *fit) atFull() (indices []int) {
	for _, v := range f.readings {
		if v.lux && v.control >= 1 {
			indices = append(indices, v.index)
		}
	}
	return indices
}

func share(control float64) string { return fmt.Sprintf("%.3g%%", control*100) }

// points returns a rising curve nearest to the levels: neighbours that fall
// are pooled, weighted by their readings [Bar1972]. Full is 1 and gives way to
// none; what would rise past it is left to the piece that ends there.
func points(levels []level) []emitters.Point {
	var pools []level // control is the sum of logarithms over count here
	for _, l := range levels {
		l.control = math.Log(l.control) * float64(l.count)
		for len(pools) > 0 && pools[len(pools)-1].light >= l.light-math.Log(leastRise) {
			last := pools[len(pools)-1]
			pools = pools[:len(pools)-1]
			n := float64(last.count + l.count)
			l.light = (last.light*float64(last.count) + l.light*float64(l.count)) / n
			l.control += last.control
			l.count += last.count
		}
		pools = append(pools, l)
	}
	var out []emitters.Point
	for _, p := range pools {
		if p.light < -math.Log(leastRise) {
			out = append(out, emitters.Point{Control: math.Exp(p.control / float64(p.count)), Light: math.Exp(p.light)})
		}
	}
	return thinned(out)
}

// thinned keeps as many points as a curve may have, evenly.
func thinned(all []emitters.Point) []emitters.Point {
	if len(all) <= emitters.MaxPoints {
		return all
	}
	out := make([]emitters.Point, emitters.MaxPoints)
	for i := range out {
		out[i] = all[i*(len(all)-1)/(len(out)-1)]
	}
	return out
}

// setCurve gives the unit's mode a curve through points, and with it the modes
// that had the same curve.
func (f *fit) setCurve(points []emitters.Point) {
	same := true
	for _, p := range points {
		same = same && math.Abs(math.Log(p.Light/f.light(p.Control))) < sameCurve
	}
	if same {
		return
	}
	base, _, _ := strings.Cut(string(f.mode.Curve), " through ")
	name, err := emitters.Through(base, points)
	if err != nil {
		return // cannot be: points rise by more than the last digit of a name
	}
	for _, m := range f.unit.Modes {
		if m.Curve == f.mode.Curve {
			m.Curve = lamp.Curve(name)
		}
	}
	f.curve = curveOf(lamp.Curve(name))
}

// setLumens gives each emitter that was read the lumens that meet its readings
// best under the curve, and scales the others as those are on average: what
// the unit's distance and beam are off by is common to all of them.
func (f *fit) setLumens(used []*vetted) {
	n := len(f.made.Emitters)
	sum, count := make([]float64, n), make([]float64, n)
	for _, v := range used {
		sum[v.emitter] += math.Log(v.lumens / f.made.Emitters[v.emitter].Lumens / f.curve.Light(v.control))
		count[v.emitter]++
	}
	var all, read float64
	for i := range n {
		if count[i] > 0 {
			sum[i] /= count[i]
			all, read = all+sum[i], read+1
		}
	}
	for i := range n {
		f.lumensBy[i] = ByLux
		if count[i] == 0 {
			f.lumensBy[i], sum[i] = ByOthers, all/read
		}
		f.unit.Emitters[i].Lumens = f.made.Emitters[i].Lumens * math.Exp(sum[i])
	}
}
