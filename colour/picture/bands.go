package picture

import (
	"image"
	"image/color"
	"math"
)

// Bands are the steps in which stops over and under grey are shown.
const (
	bandsUnder = 6
	bandsOver  = 6
)

// Band returns the colour that stands for so many stops over grey: darker
// blues under it, grey within half a stop of it, lighter ambers over it, white
// where over is reached and the channel clips. It tells by lightness alone too.
func Band(stops, over float64) color.NRGBA {
	switch {
	case math.IsNaN(stops) || stops < -bandsUnder-0.5:
		return color.NRGBA{A: 255}
	case stops >= over:
		return color.NRGBA{255, 255, 255, 255}
	}
	n := math.Round(min(stops, bandsOver))
	switch {
	case n < 0:
		k := 1 + n/(bandsUnder+1) // 1 at grey, 0 in the dark
		return color.NRGBA{uint8(24 * k), uint8(70 * k), uint8(50 + 110*k), 255}
	case n > 0:
		k := n / bandsOver
		return color.NRGBA{uint8(150 + 100*k), uint8(110 + 110*k), uint8(40 + 60*k), 255}
	}
	return color.NRGBA{118, 118, 118, 255}
}

// DevelopBands shows the hottest channel of each pixel in stops, as bands.
func DevelopBands(f *Frame, over float64) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, f.Width, f.Height))
	for p := range f.Width * f.Height {
		v := f.Values[3*p : 3*p+3]
		out.SetNRGBA(p%f.Width, p/f.Width, Band(Stops(float64(max(v[0], v[1], v[2]))), over))
	}
	return out
}
