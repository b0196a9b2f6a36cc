package stage

import (
	"math"

	"linkboy/colour/photometry"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
)

// maskOf gives what a lamp's gobo makes of a beam that looks along facing. base is the
// beam of its photometry, at which the gobo has its angle; a lens makes the picture
// larger with the beam.
func maskOf(r *cues.RigLamp, facing solid.Vec, base, beam photometry.Beam) *transport.Mask {
	g := r.Gobo
	if g == nil {
		return nil
	}
	angle := g.AngleDeg
	if angle == 0 {
		angle = float64(base.FieldAngle())
	}
	half := tanHalf(angle) * tanHalf(float64(beam.BeamAngle())) / tanHalf(float64(base.BeamAngle()))
	per := float64(max(g.Picture.Wide, g.Picture.High)) / (2 * half) // points to a tangent of 1
	most := 2 * float64(max(g.Picture.Wide, g.Picture.High))         // softer is a blot
	picture, _ := g.Picture.Soft(min(2*tanHalf(g.SoftDeg)*per, most))
	right := facing.Cross(solid.Vec{Z: 1})
	if right.Length() < 1e-9 { // straight up or down: the top of the picture is north
		right = solid.Vec{X: 1}
	}
	right = right.Unit()
	up := right.Cross(facing)
	sin, cos := math.Sincos(g.TurnDeg * math.Pi / 180)
	return &transport.Mask{
		Wide: picture.Wide, High: picture.High, Pass: picture.Pass,
		Right: right.Scale(cos).Add(up.Scale(sin)), Up: up.Scale(cos).Sub(right.Scale(sin)),
		HalfX: float64(picture.Wide) / (2 * per), HalfY: float64(picture.High) / (2 * per),
	}
}

func tanHalf(degrees float64) float64 { return math.Tan(degrees / 2 * math.Pi / 180) }
