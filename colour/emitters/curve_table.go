package emitters

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Point is one place on a dimmer curve: the share of light at a share of
// control, both above 0 and below 1.
type Point struct{ Control, Light float64 }

// Limits of a curve through points.
const (
	// MaxPoints is the most points a curve can run through.
	MaxPoints = 32
	// Below its first point a curve follows its base to the power that holds
	// between its first two, but no further from the base than these: two
	// points close together say little of what is far below them.
	leastPower, mostPower = 0.25, 4
	// mostTables is how many curves are kept made. A show has a few; past it
	// all are dropped and made again.
	mostTables = 256
)

// through stands between the base of a curve and its points in a name.
const through = " through "

// Through returns the name of the curve that runs through points in the manner
// of a base curve: CurveByName knows it. Points stand in rising order of both
// control and light; lights are kept to six digits.
//
//	square through 10%:0.9% 50%:24%
//
// Between two points, and between the last and full, the light is a constant
// times the base's light raised to a power, so that with no points in the way
// it is the base. It is so from the first point down to black too. All power
// laws come out exactly whichever of them is the base.
func Through(base string, points []Point) (string, error) {
	if base == "" {
		base = LinearName
	}
	name := base
	for i, p := range points {
		sep := " "
		if i == 0 {
			sep = through
		}
		name += sep + percent(p.Control) + ":" + percent(p.Light)
	}
	_, err := CurveByName(name)
	return name, err
}

// percent writes a share to six digits.
func percent(share float64) string { return strconv.FormatFloat(share*100, 'g', 6, 64) + "%" }

// tables holds the curves made by throughByName: they are asked for by name
// whenever bytes are read, and only the first time may cost an allocation.
var tables = struct {
	sync.RWMutex
	made map[string]*table
}{made: map[string]*table{}}

// throughByName returns the curve of a name that Through made. No allocation
// once it has been made.
func throughByName(name string) (Curve, error) {
	tables.RLock()
	t := tables.made[name]
	tables.RUnlock()
	if t != nil {
		return t, nil
	}
	t, err := parseTable(name)
	if err != nil {
		return nil, fmt.Errorf("dimmer curve %q: %w", name, err)
	}
	tables.Lock()
	defer tables.Unlock()
	if len(tables.made) >= mostTables {
		clear(tables.made)
	}
	tables.made[name] = t
	return t, nil
}

// table is a curve through points: straight from knot to knot of the logarithm
// of the light over that of its base's light. The last knot is full, 0 and 0.
type table struct {
	base  Curve
	knots []knot // in rising order
}

// knot is where two pieces meet: logarithms of the base's light and of the light.
type knot struct {
	base, light float64
	power       float64 // of the piece that ends here
}

func parseTable(name string) (*table, error) {
	baseName, list, _ := strings.Cut(name, through)
	base, err := CurveByName(baseName)
	if err != nil {
		return nil, err
	}
	fields := strings.Fields(list)
	if len(fields) < 1 || len(fields) > MaxPoints {
		return nil, fmt.Errorf("it runs through %d points; give 1 to %d, each as CONTROL%%:LIGHT%%", len(fields), MaxPoints)
	}
	t := &table{base: base}
	last := Point{}
	for _, f := range fields {
		p, ok := parsePoint(f)
		if !ok {
			return nil, fmt.Errorf("%q is no point of it; write CONTROL%%:LIGHT%%, both above 0%% and below 100%%", f)
		}
		if p.Control <= last.Control || p.Light <= last.Light {
			return nil, fmt.Errorf("point %q does not rise from the one before it; list points in rising order of control and light", f)
		}
		last = p
		t.knots = append(t.knots, knot{base: math.Log(base.Light(p.Control)), light: math.Log(p.Light)})
	}
	t.knots = append(t.knots, knot{})
	for i := range t.knots[1:] {
		a, b := t.knots[i], &t.knots[i+1]
		b.power = (b.light - a.light) / (b.base - a.base)
		if !(b.power > 0) || math.IsInf(b.power, 0) {
			return nil, fmt.Errorf("point %q lies too close to its neighbour to draw a curve; leave one of the two out", fields[i])
		}
	}
	t.knots[0].power = min(max(t.knots[1].power, leastPower), mostPower)
	return t, nil
}

// parsePoint reads "50%:24%".
func parsePoint(text string) (Point, bool) {
	control, light, ok := strings.Cut(text, ":")
	c, okC := parsePercent(control)
	l, okL := parsePercent(light)
	return Point{c, l}, ok && okC && okL
}

// parsePercent reads a share above 0 and below 1.
func parsePercent(text string) (float64, bool) {
	number, sign := strings.CutSuffix(text, "%")
	v, err := strconv.ParseFloat(number, 64)
	v /= 100
	return v, sign && err == nil && v > 0 && v < 1
}

// Light returns the light at a control.
func (t *table) Light(control float64) float64 {
	b := t.base.Light(control)
	if b <= 0 || b >= 1 {
		return share(b)
	}
	at := math.Log(b)
	i := slices.IndexFunc(t.knots, func(k knot) bool { return at <= k.base })
	k := t.knots[max(i, 0)]
	return share(math.Exp(k.light + (at-k.base)*k.power))
}

// Control returns the control at a light, the inverse of Light.
func (t *table) Control(light float64) float64 {
	y := share(light)
	if y <= 0 || y >= 1 {
		return y
	}
	at := math.Log(y)
	i := slices.IndexFunc(t.knots, func(k knot) bool { return at <= k.light })
	k := t.knots[max(i, 0)]
	return t.base.Control(math.Exp(k.base + (at-k.light)/k.power))
}
