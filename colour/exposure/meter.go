package exposure

import (
	"math"

	"linkboy/colour/photometry"
)

// Meter is a light meter's two agreed constants. They are averages of what
// looks right, so keep them with a reading.
type Meter struct {
	// C is that of incident light: 250 for a flat receptor, which may be 240
	// to 400; domes use 320 to 340 [ISO 2720].
	C float64
	// K is that of reflected light: 12.5 in common use, some take 14; 10.6 to
	// 13.4 [ISO 2720].
	K float64
}

// Standard is the meter that everything is reckoned with where nothing else is
// said.
var Standard = Meter{C: 250, K: 12.5}

// Lux returns the illuminance that exposes well at s, flat to the camera:
//
//	E = C N²/(S t)
//
// [ISO 2720]. ISO 800, T2.8 (2.828) and 1/48 s: 120 lx.
func (m Meter) Lux(s Settings) photometry.Lux {
	return photometry.Lux(m.C * s.light())
}

// Luminance returns the luminance that exposes as a middle tone at s:
//
//	L = K N²/(S t)
//
// [ISO 2720].
func (m Meter) Luminance(s Settings) photometry.Luminance {
	return photometry.Luminance(m.K * s.light())
}

// light is N²/(S t).
func (s Settings) light() float64 { return s.Stop * s.Stop / (s.ISO * s.Seconds) }

// Stop returns the stop that exposes e at a sensitivity and a time: N =
// √(E S t/C). Where s has a stop already it does not count.
//
// 250.5 lx at ISO 800 and 1/120 s: T2.58.
func (m Meter) Stop(e photometry.Lux, s Settings) float64 {
	return math.Sqrt(float64(e) * s.ISO * s.Seconds / m.C)
}

// Seconds returns the time that exposes e at a sensitivity and a stop:
// t = C N²/(S E).
func (m Meter) Seconds(e photometry.Lux, s Settings) float64 {
	return m.C * s.Stop * s.Stop / (s.ISO * float64(e))
}

// ISO returns the sensitivity that exposes e at a stop and a time:
// S = C N²/(E t).
func (m Meter) ISO(e photometry.Lux, s Settings) float64 {
	return m.C * s.Stop * s.Stop / (float64(e) * s.Seconds)
}

// LuxAt returns the illuminance of an exposure value at ISO 100: E =
// C/100 2^EV, 2.5 lx at 0 and 80 lx at 5.
func (m Meter) LuxAt(ev100 float64) photometry.Lux {
	return photometry.Lux(m.C / 100 * math.Exp2(ev100))
}

// LuminanceAt returns the luminance of an exposure value at ISO 100: L =
// K/100 2^EV, 0.125 cd/m2 at 0.
func (m Meter) LuminanceAt(ev100 float64) photometry.Luminance {
	return photometry.Luminance(m.K / 100 * math.Exp2(ev100))
}

// EV100 returns e as an exposure value at ISO 100: the inverse of LuxAt.
func (m Meter) EV100(e photometry.Lux) float64 { return math.Log2(float64(e) * 100 / m.C) }

// Grey returns the reflectance that both kinds of reading agree on: π K/C,
// 15.7 % of the standard meter. On an 18 % card they differ by 0.2 stop, by
// design.
func (m Meter) Grey() float64 { return math.Pi * m.K / m.C }
