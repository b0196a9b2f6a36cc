package picture

import (
	"image"
	"math"

	"linkboy/colour/camera"
	"linkboy/colour/photometry"
)

// Curve turns camera values into an image: each channel clips as the sensor does, the
// camera's matrix makes colours of the channels, those that no screen shows are drawn in,
// and a plain filmic curve, straight in the shadows, bends to white at the clip.
type Curve struct {
	clip         float32
	matrix       [3][3]float32
	scale, white float64
	table        [tableSize]uint8
}

// The table covers values from 2^-tableUnder to 2^tableOver of grey.
const (
	tableUnder   = 16
	tableOver    = 16
	tablePerStop = 64
	tableSize    = (tableUnder + tableOver) * tablePerStop
)

// NewCurve makes the curve of a camera that clips so many stops over grey, 1 to 15, and
// has a matrix.
// It is that of E. Reinhard and others, Photographic Tone Reproduction for Digital Images
// (SIGGRAPH 2002), equation 4, x(1+x/w²)/(1+x), for each channel, with w at the clip
// and scaled so that grey stays grey; then the sRGB transfer (IEC 61966-2-1).
func NewCurve(over float64, matrix camera.Matrix) *Curve {
	c := &Curve{clip: float32(photometry.MiddleGrey * math.Exp2(over))}
	for i, row := range matrix {
		for j, v := range row {
			c.matrix[i][j] = float32(v)
		}
	}
	// k·grey must come out as grey; k grows until it does.
	low, high := 1.0, 1e6
	for range 100 {
		k := math.Sqrt(low * high)
		if bend(k*photometry.MiddleGrey, k*photometry.MiddleGrey*math.Exp2(over)) < photometry.MiddleGrey {
			low = k
		} else {
			high = k
		}
	}
	c.scale, c.white = low, low*photometry.MiddleGrey*math.Exp2(over)
	for i := range c.table {
		stops := (float64(i)+0.5)/tablePerStop - tableUnder
		c.table[i] = encode(bend(c.scale*photometry.MiddleGrey*math.Exp2(stops), c.white))
	}
	return c
}

func bend(x, white float64) float64 { return min(1, x*(1+x/(white*white))/(1+x)) }

// encode is the transfer of sRGB in 8 bits.
func encode(v float64) uint8 {
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * min(1, max(0, v))))
}

// Develop makes the image of a frame. into is used again where it has the size,
// and may be nil.
func (c *Curve) Develop(f *Frame, into *image.NRGBA) *image.NRGBA {
	if into == nil || into.Rect != image.Rect(0, 0, f.Width, f.Height) {
		into = image.NewNRGBA(image.Rect(0, 0, f.Width, f.Height))
	}
	for p := range f.Width * f.Height {
		r, g, b := min(f.Values[3*p], c.clip), min(f.Values[3*p+1], c.clip), min(f.Values[3*p+2], c.clip)
		var v [3]float32
		for ch, row := range c.matrix {
			v[ch] = row[0]*r + row[1]*g + row[2]*b
		}
		compress(&v)
		for ch := range v {
			into.Pix[4*p+ch] = c.value(v[ch])
		}
		into.Pix[4*p+3] = 255
	}
	return into
}

func (c *Curve) value(v float32) uint8 {
	if !(v > 0) {
		return 0
	}
	i := int((math.Log2(float64(v)/photometry.MiddleGrey) + tableUnder) * tablePerStop)
	return c.table[min(max(i, 0), tableSize-1)]
}

// Stops returns how far a value is over grey.
func Stops(v float64) float64 { return math.Log2(v / photometry.MiddleGrey) }
