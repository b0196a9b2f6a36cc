package exposure

import (
	"math"
	"strconv"

	"linkboy/colour/photometry"
)

// Stops returns a ratio of light in stops: log2. From 15 % to 5 % it is -1.58.
func Stops(ratio float64) float64 { return math.Log2(ratio) }

// Factor returns stops as a ratio of light: 2^stops. A third is 1.26.
func Factor(stops float64) float64 { return math.Exp2(stops) }

// StopsOver returns how many stops light meters over a key: under 0 for less
// of it, -Inf for none.
func StopsOver(light, key photometry.Lux) float64 { return Stops(float64(light / key)) }

// KeyFill is the lighting ratio that many crews say: key to fill, each metered
// alone. Crews and books mean different things by "3:1": always show which.
type KeyFill float64

// SumFill is the lighting ratio that the cinematographers' handbooks define:
// (key + fill) to fill, the lit side of a face to its shadow side. It is 1
// more than KeyFill and never under 1.
type SumFill float64

// RatioOf returns the ratio of key and fill, each metered alone, by both
// definitions: 200 fc of key and 100 fc of fill are 2:1 and 3:1. No fill is
// an infinite ratio.
func RatioOf(key, fill photometry.Lux) (KeyFill, SumFill) {
	r := KeyFill(key / fill)
	return r, r.Sum()
}

// Sum returns r by the other definition.
func (r KeyFill) Sum() SumFill { return SumFill(r + 1) }

// KeyFill returns r by the other definition.
func (r SumFill) KeyFill() KeyFill { return KeyFill(r - 1) }

// Stops returns r in stops: how far the fill meters under the key.
func (r KeyFill) Stops() float64 { return Stops(float64(r)) }

// Stops returns r in stops, log2(1 + key/fill): how far the shadow side of the
// face lies under the lit one.
func (r SumFill) Stops() float64 { return Stops(float64(r)) }

// Fill returns the fill that makes r with a key: key/r.
func (r KeyFill) Fill(key photometry.Lux) photometry.Lux { return key / photometry.Lux(r) }

// Fill returns the fill that makes r with a key: key/(r - 1). 4:1 with 120 lx
// takes 40 lx.
func (r SumFill) Fill(key photometry.Lux) photometry.Lux { return r.KeyFill().Fill(key) }

// String gives r with the name of its definition: "3:1 key:fill".
func (r KeyFill) String() string { return toOne(float64(r)) + " key:fill" }

// String gives r with the name of its definition: "4:1 (key+fill):fill".
func (r SumFill) String() string { return toOne(float64(r)) + " (key+fill):fill" }

// toOne writes a ratio to one decimal at most.
func toOne(r float64) string {
	return strconv.FormatFloat(math.Round(r*10)/10, 'f', -1, 64) + ":1"
}
