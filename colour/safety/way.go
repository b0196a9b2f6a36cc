package safety

import (
	"math"

	"linkboy/colour/photometry"
)

const (
	// AlarmFloor is the light under which a look should be warned of while
	// people move (common practice, no source).
	AlarmFloor photometry.Lux = 1
	// RigFloor is the light to rig and to strike by (common practice, no
	// source).
	RigFloor photometry.Lux = 10
)

// WayLimit is what a document asks of the light on the floor where people
// walk. A field of 0 asks nothing.
type WayLimit struct {
	Name     string
	Source   string
	Least    photometry.Lux // at every point
	Average  photometry.Lux // over all points
	MaxToMin float64        // the brightest point to the darkest, at most
}

// WayLimits returns the limits known, by name. They are for buildings, most of
// them for the way out when the mains fail: local codes come first.
func WayLimits() []WayLimit {
	return []WayLimit{
		{Name: "escape route, centre line", Source: "EN 1838", Least: 1, MaxToMin: 40},
		{Name: "open area", Source: "EN 1838", Least: 0.5, MaxToMin: 40},
		{Name: "high-risk task", Source: "EN 1838", Least: 15, MaxToMin: 10},
		{Name: "way out, mains failed", Source: "NFPA 101", Least: 1.1, Average: 10.8, MaxToMin: 40},
		{Name: "walking surface", Source: "NFPA 101", Least: 10.8},
		{Name: "walking surface during a performance", Source: "NFPA 101", Least: 2.2},
		{Name: "any look while people move", Source: "common practice", Least: AlarmFloor},
		{Name: "rigging and strike", Source: "common practice", Least: RigFloor},
	}
}

// HighRiskTask returns the light that a task with a high risk keeps when the
// mains fail: 10 % of the normal light, and not under 15 lx [EN 1838; from
// memory].
func HighRiskTask(normal photometry.Lux) photometry.Lux { return max(15, normal/10) }

// Way is what light a way has.
type Way struct {
	Least, Average photometry.Lux
	MaxToMin       float64 // infinite with a dark point
	At             int     // the darkest of the points, the first of them
}

// WayOf returns what light a way has from readings along it, at least one, on
// the floor and evenly spaced.
func WayOf(points []photometry.Lux) Way {
	w := Way{Least: photometry.Lux(math.Inf(1))}
	var most, sum photometry.Lux
	for i, e := range points {
		if e < w.Least {
			w.Least, w.At = e, i
		}
		most = max(most, e)
		sum += e
	}
	w.Average = sum / photometry.Lux(len(points))
	w.MaxToMin = float64(most / w.Least)
	if most == 0 {
		w.MaxToMin = math.Inf(1) // dark all along: no evenness to speak of
	}
	return w
}

// Verdict is a way held against a limit.
type Verdict struct {
	Way
	// Dark, Dim and Uneven say which of the limit's numbers is not kept: the
	// least, the average, the brightest to the darkest.
	Dark, Dim, Uneven bool
}

// Keeps reports whether the limit is kept in everything.
func (v Verdict) Keeps() bool { return !v.Dark && !v.Dim && !v.Uneven }

// Check holds readings along a way, at least one, against l.
func (l WayLimit) Check(points []photometry.Lux) Verdict {
	w := WayOf(points)
	return Verdict{
		Way:    w,
		Dark:   w.Least < l.Least,
		Dim:    w.Average < l.Average,
		Uneven: l.MaxToMin > 0 && w.MaxToMin > l.MaxToMin,
	}
}
