package calibrate

import (
	"fmt"
	"math"

	"linkboy/colour/lamp"
)

// Law is how the light of a type of lamp falls off on its axis: what a lumen
// gives in lux at a distance. It is one of three, by the class of the type:
//
//	line   tubes: a finite line that is Lambertian across,
//	       E = I0/(l d) [a + sin a cos a], a = atan(l/2d)
//	disc   panels and pucks: a disc of the face's area, E = I0 / (A/π + d²)
//	point  spots: the inverse square law, E = I0/d²
//
// E is in lux on a plane that faces the lamp at d metres from its face, l is
// the length and A the area of the face in metres, I0 the axial intensity in
// candela far away. A cosine power gives that from the lumens F and the beam
// angle b to 50 %:
//
//	I0 = F (m+1)/2π,  m = ln 0.5 / ln cos(b/2)
//
// For a Lambertian beam of 120 degrees m is 1 and I0 is F/π. Beams of 180
// degrees and more are even in their cone, I0 = F/(2π(1 - cos(b/2))), but for a
// tube, which then shines all round: I0 = F/π². [IES]
type Law struct {
	name     string
	perLumen float64 // I0 of one lumen, cd
	lengthM  float64 // of a line
	discM2   float64 // R² = A/π of a disc
}

// LawOf returns the law of a type. The error says what its photometry lacks.
func LawOf(t *lamp.Type) (Law, error) {
	p := t.Photometry
	if !(p.BeamDeg > 0 && p.BeamDeg <= 360) {
		return Law{}, fmt.Errorf("lamp type %q: its beam angle of %g degrees does not say where its light goes; give its photometry a beam above 0 and up to 360 deg", t.Name, p.BeamDeg)
	}
	law := Law{name: "point", perLumen: axialIntensity(p.BeamDeg)}
	switch {
	case t.Class == lamp.Tube && p.LengthM > 0:
		law.name, law.lengthM = "line", p.LengthM
		if p.BeamDeg >= 180 {
			law.perLumen = 1 / (math.Pi * math.Pi)
		}
	case (t.Class == lamp.Panel || t.Class == lamp.Puck) && p.LengthM*p.WidthM > 0:
		law.name, law.discM2 = "disc", p.LengthM*p.WidthM/math.Pi
	}
	return law, nil
}

// axialIntensity returns the candela on the axis of one lumen in a beam.
func axialIntensity(beamDeg float64) float64 {
	c := math.Cos(beamDeg / 2 * math.Pi / 180)
	if beamDeg >= 180 {
		return 1 / (2 * math.Pi * (1 - c))
	}
	m := math.Log(0.5) / math.Log(c)
	return (m + 1) / (2 * math.Pi)
}

// String returns the name of the law: "line", "disc" or "point".
func (l Law) String() string { return l.name }

// Lux returns the illuminance on the axis in lux, at distanceM metres (above 0)
// from the face of a lamp that gives lumens.
func (l Law) Lux(lumens, distanceM float64) float64 {
	i0, d := lumens*l.perLumen, distanceM
	if l.lengthM > 0 {
		a := math.Atan(l.lengthM / (2 * d))
		return i0 / (l.lengthM * d) * (a + math.Sin(a)*math.Cos(a))
	}
	return i0 / (l.discM2 + d*d)
}

// Lumens returns the lumens of a lamp that gives lux on the axis at distanceM
// metres, the inverse of Lux.
func (l Law) Lumens(lux, distanceM float64) float64 { return lux / l.Lux(1, distanceM) }
