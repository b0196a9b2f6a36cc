package generator

import (
	"math"

	"linkboy/cues/track"
)

// wavePoints is the number of entries of a wave. Straight lines between them
// stay within a 16-bit step of a sine.
const wavePoints = 4096

// Sine goes to the far end and back, slow at both: (1 - cos 2πt)/2.
func Sine() []uint16 {
	table := make([]uint16, wavePoints)
	for i := range table {
		// The half of Whole is a whole number too, so nothing here is near a half.
		share := (1 - math.Cos(2*math.Pi*float64(i)/wavePoints)) / 2
		table[i] = uint16(math.Round(share * track.Whole))
	}
	return table
}

// Ramp goes to the far end evenly and is back at once.
func Ramp() []uint16 {
	table := make([]uint16, wavePoints)
	for i := range table {
		table[i] = uint16(i * track.Whole / (wavePoints - 1))
	}
	return table
}

// Pulse rests for a share of the period, 0..1, and is at the far end for what is
// left. Its entries hold until the next.
func Pulse(duty float64) []uint16 {
	table := make([]uint16, wavePoints)
	rests := int(math.Round(min(max(duty, 0), 1) * wavePoints))
	for i := rests; i < wavePoints; i++ {
		table[i] = track.Whole
	}
	return table
}
