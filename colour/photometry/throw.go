package photometry

import "math"

// Throw returns the straight distance from a lamp to a target and the angle
// at which the lamp stands over it, from the distance along the ground and the
// heights of both, in one unit of length:
//
//	d = √(h² + (lamp - target)²),  elevation = atan((lamp - target)/h)
//
// A lamp 0.9 m over a face and 3 m away has 3.132 m of throw at 16.7 degrees.
// The elevation is under 0 for a lamp that stands lower than its target.
func Throw(horizontal, lamp, target float64) (d float64, elevation Degrees) {
	up := lamp - target
	return math.Hypot(horizontal, up), degrees(math.Atan2(up, horizontal))
}

// ShadowTop returns how high the shadow of a person reaches at the subject,
// when person and subject stand in one line from a lamp that is higher than
// the person:
//
//	lamp - (lamp - person) subject/person distance
//
// with heights, and distances along the ground from under the lamp, in metres.
// At 0 or under it falls short of the subject.
//
// A 2.5 m lamp with an operator of 1.8 m at 2 m and the subject at 3 m shades
// the subject up to 1.45 m: a face at 1.6 m is clear.
func ShadowTop(lamp, person, personDistance, subjectDistance float64) float64 {
	return lamp - (lamp-person)*subjectDistance/personDistance
}
