package cues

import (
	"cmp"
	"math"

	"linkboy/colour/mesh"
)

// SetPiece is a thing that stands at the location.
type SetPiece struct {
	Name   string
	Shape  Shape
	Albedo Albedo
	At     Pos
}

// Albedo is the share of light that a matt surface throws back, of the red, the
// green and the blue that the camera sees, each 0..1.
type Albedo [3]float64

// Grey is the albedo of one share for all three.
func Grey(share float64) Albedo { return Albedo{share, share, share} }

// Shape is the form of a set piece and where it stands: a Box, Plane, Cylinder,
// Steps or Mesh.
type Shape interface {
	// Kind is the word for it in show files.
	Kind() string
	// Bounds gives the least and the greatest coordinates that it reaches.
	Bounds() (low, high Point)
}

// Box is a closed box, turned about the upright line through its centre.
type Box struct {
	Centre  Point
	Size    Point // before it is turned; each above 0
	TurnDeg float64
}

// Plane is a thin parallelogram with two sides: a corner and two edges.
type Plane struct{ Corner, Along, Across Point }

// Cylinder is closed: Axis leads from the centre of its foot to that of its top.
type Cylinder struct {
	Foot, Axis Point
	Radius     float64 // m
}

// Steps is a flight of Count steps of one height and depth, closed below, turned
// about the upright line through its centre.
type Steps struct {
	Centre  Point
	Size    Point // before it is turned; each above 0
	Count   int
	Rise    Rise
	TurnDeg float64
}

// Rise is the way up a flight of steps, before it is turned.
type Rise string

// The ways.
const (
	RiseX     Rise = "+x"
	RiseBackX Rise = "-x"
	RiseY     Rise = "+y"
	RiseBackY Rise = "-y"
)

// Mesh is a surface from a file.
type Mesh struct {
	File      string
	Triangles *mesh.Mesh // as in the file
	Place     Point      // where the origin of the file is
	Scale     float64    // metres for a unit of the file; above 0
	TurnDeg   float64    // about the upright line through the origin of the file
}

// StandIn is a figure of a person's size, to see light fall on before anybody is
// there.
type StandIn struct {
	Name    string
	Place   Point // between its feet
	HeightM float64
	// Facing is the point it faces, when HasFacing; see Location.Facing.
	Facing    Point
	HasFacing bool
	Walk      *Walk // nil for one that stays
	At        Pos
}

// Facing gives the point that s faces: its own, else the camera of the first
// set-up, else down the plan.
func (l *Location) Facing(s *StandIn) Point {
	switch {
	case s.HasFacing:
		return s.Facing
	case len(l.Setups) > 0:
		if c := l.Setups[0].Camera; c[0] != s.Place[0] || c[1] != s.Place[1] {
			return c
		}
	}
	return Point{s.Place[0], s.Place[1] - 1, s.Place[2]}
}

// Shot gives the camera of set-up u: the show's, with what the set-up says of
// its own. Colours of looks stay those of the show's balance.
func (s *Show) Shot(u *Setup) Camera {
	c, own := s.Camera, u.Own
	c.ISO = cmp.Or(own.ISO, c.ISO)
	c.Stop = cmp.Or(own.Stop, c.Stop)
	c.ShutterDeg = cmp.Or(own.ShutterDeg, c.ShutterDeg)
	c.FPS = cmp.Or(own.FPS, c.FPS)
	c.Balance = cmp.Or(own.Balance, c.Balance)
	c.SensorWidthMM = cmp.Or(own.SensorWidthMM, c.SensorWidthMM)
	return c
}

// Kind is "box".
func (Box) Kind() string { return "box" }

// Kind is "plane".
func (Plane) Kind() string { return "plane" }

// Kind is "cylinder".
func (Cylinder) Kind() string { return "cylinder" }

// Kind is "steps".
func (Steps) Kind() string { return "steps" }

// Kind is "mesh".
func (Mesh) Kind() string { return "mesh" }

// Bounds gives the least and the greatest coordinates.
func (b Box) Bounds() (low, high Point) { return turnedBounds(b.Centre, b.Size, b.TurnDeg) }

// Bounds gives the least and the greatest coordinates.
func (s Steps) Bounds() (low, high Point) { return turnedBounds(s.Centre, s.Size, s.TurnDeg) }

func turnedBounds(centre, size Point, deg float64) (low, high Point) {
	sin, cos := TurnBy(deg)
	half := Point{
		(math.Abs(cos)*size[0] + math.Abs(sin)*size[1]) / 2,
		(math.Abs(sin)*size[0] + math.Abs(cos)*size[1]) / 2,
		size[2] / 2,
	}
	for i := range half {
		low[i], high[i] = centre[i]-half[i], centre[i]+half[i]
	}
	return low, high
}

// TurnBy gives sine and cosine of an angle in degrees, exact at right angles, so
// that walls stay along the axes.
func TurnBy(deg float64) (sin, cos float64) {
	switch turn := math.Mod(math.Mod(deg, 360)+360, 360); turn {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	default:
		return math.Sincos(turn * math.Pi / 180)
	}
}

// Bounds gives the least and the greatest coordinates.
func (p Plane) Bounds() (low, high Point) {
	for i := range low {
		a, b := p.Along[i], p.Across[i]
		low[i] = p.Corner[i] + min(0, a, b, a+b)
		high[i] = p.Corner[i] + max(0, a, b, a+b)
	}
	return low, high
}

// Bounds gives the least and the greatest coordinates.
func (c Cylinder) Bounds() (low, high Point) {
	length := math.Sqrt(c.Axis[0]*c.Axis[0] + c.Axis[1]*c.Axis[1] + c.Axis[2]*c.Axis[2])
	for i := range low {
		// A circle reaches the sine of the angle between its normal and an axis.
		share := c.Axis[i] / length
		reach := c.Radius * math.Sqrt(max(0, 1-share*share))
		low[i] = c.Foot[i] + min(0, c.Axis[i]) - reach
		high[i] = c.Foot[i] + max(0, c.Axis[i]) + reach
	}
	return low, high
}

// Bounds gives the least and the greatest coordinates.
func (m Mesh) Bounds() (low, high Point) {
	far := math.Inf(1)
	low, high = Point{far, far, far}, Point{-far, -far, -far}
	for _, t := range m.Triangles.Triangles {
		for _, i := range t {
			at := m.Point(i)
			for k := range at {
				low[k], high[k] = min(low[k], at[k]), max(high[k], at[k])
			}
		}
	}
	return low, high
}

// Point gives point i of the mesh where it stands.
func (m Mesh) Point(i int) Point {
	sin, cos := TurnBy(m.TurnDeg)
	p := m.Triangles.Points[i]
	return Point{
		m.Place[0] + m.Scale*(cos*p.X-sin*p.Y),
		m.Place[1] + m.Scale*(sin*p.X+cos*p.Y),
		m.Place[2] + m.Scale*p.Z,
	}
}
