package photometry

import "math"

// Lumens is luminous flux: all the light that a source gives.
type Lumens float64

// Candela is luminous intensity: light in a direction, in lm/sr.
type Candela float64

// Lux is illuminance: light that falls on a surface, in lm/m2.
type Lux float64

// Luminance is how bright a surface is from where it is seen, in cd/m2.
type Luminance float64

// Degrees is a plane angle.
type Degrees float64

// metresPerFoot is exact by the definition of the foot.
const metresPerFoot = 0.3048

// LuxPerFootCandle is how many lux one lumen per square foot is: 10.764.
const LuxPerFootCandle = 1 / (metresPerFoot * metresPerFoot)

// FootCandles returns e in lumens per square foot: 120 lx are 11.15 fc.
func (e Lux) FootCandles() float64 { return float64(e) / LuxPerFootCandle }

// Radians returns a in radians.
func (a Degrees) Radians() float64 { return float64(a) * math.Pi / 180 }

// Cos returns the cosine of a.
func (a Degrees) Cos() float64 { return math.Cos(a.Radians()) }

// degrees returns an angle in radians as Degrees.
func degrees(radians float64) Degrees { return Degrees(radians * 180 / math.Pi) }
