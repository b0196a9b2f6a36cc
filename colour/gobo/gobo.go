// Package gobo reads pictures that a lamp projects: a stencil or a slide in its gate.
//
// A picture says what share of the light passes each point: white lets all through,
// black none, a grey as much as it is light (by the sRGB transfer of IEC 61966-2-1), a
// colour as a meter would weigh it (ITU-R BT.709). What is transparent counts as black:
// paint the holes white.
package gobo

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
)

const (
	// sideMost is the most pixels along a side of a file.
	sideMost = 4096
	// bytesMost is the most bytes of a file.
	bytesMost = 16 << 20
	// sideKept is the most points along a side of a picture: more show in no light map.
	sideKept = 256
)

// Picture is what passes, as bytes from 0 to 255 for all, rows from the top. It is not
// changed once made.
type Picture struct {
	Wide, High int
	Pass       []byte
}

// ErrPicture is a file that is no picture which a lamp could project.
var ErrPicture = errors.New("it is no picture to project")

// ReadPNG reads a picture. Large ones are made smaller. The error wraps ErrPicture, or is
// that of reading.
func ReadPNG(r io.Reader) (*Picture, error) {
	in := &bounded{r: r, left: bytesMost}
	var head keep
	size, err := png.DecodeConfig(io.TeeReader(in, &head))
	if err != nil {
		return nil, in.because(err)
	}
	if size.Width > sideMost || size.Height > sideMost {
		return nil, fmt.Errorf("%w: it has %d by %d pixels, and %d a side are the most", ErrPicture, size.Width, size.Height, sideMost)
	}
	img, err := png.Decode(io.MultiReader(&head, in))
	if err != nil {
		return nil, in.because(err)
	}
	p := reduced(img)
	if p.Mean() == 0 {
		return nil, fmt.Errorf("%w: it is black all over, so no light would pass", ErrPicture)
	}
	return p, nil
}

// keep holds what has been read of a file, to read it again.
type keep struct{ b []byte }

func (k *keep) Write(b []byte) (int, error) {
	k.b = append(k.b, b...)
	return len(b), nil
}

func (k *keep) Read(b []byte) (int, error) {
	if len(k.b) == 0 {
		return 0, io.EOF
	}
	n := copy(b, k.b)
	k.b = k.b[n:]
	return n, nil
}

// bounded reads no more than some bytes, and keeps the fault of reading them.
type bounded struct {
	r    io.Reader
	left int
	err  error
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		b.err = fmt.Errorf("%w: it has over %d MB", ErrPicture, bytesMost>>20)
		return 0, b.err
	}
	n, err := b.r.Read(p[:min(len(p), b.left)])
	b.left -= n
	if err != nil && !errors.Is(err, io.EOF) {
		b.err = err
	}
	return n, err
}

// because is why a picture could not be decoded.
func (b *bounded) because(err error) error {
	if b.err != nil {
		return b.err
	}
	return fmt.Errorf("%w: %w", ErrPicture, err)
}

// linear is the share of light of a code of sRGB, by its 16 bits.
func linear(v uint32) float64 {
	x := float64(v) / 0xffff
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// light is the share of light that a colour lets through.
func light(c color.Color) float64 {
	r, g, b, a := c.RGBA()
	if a == 0 {
		return 0
	}
	straight := func(v uint32) uint32 { return v * 0xffff / a }
	return (0.2126*linear(straight(r)) + 0.7152*linear(straight(g)) + 0.0722*linear(straight(b))) * float64(a) / 0xffff
}

// reduced is an image as a picture of at most sideKept points a side: each is the mean of
// the pixels in it.
func reduced(img image.Image) *Picture {
	box := img.Bounds()
	w, h := box.Dx(), box.Dy()
	shrink := max(1, float64(max(w, h))/sideKept)
	p := &Picture{Wide: max(1, int(float64(w)/shrink)), High: max(1, int(float64(h)/shrink))}
	p.Pass = make([]byte, p.Wide*p.High)
	for j := range p.High {
		for i := range p.Wide {
			sum, n := 0.0, 0
			for y := j * h / p.High; y < (j+1)*h/p.High; y++ {
				for x := i * w / p.Wide; x < (i+1)*w/p.Wide; x++ {
					sum += light(img.At(box.Min.X+x, box.Min.Y+y))
					n++
				}
			}
			p.Pass[j*p.Wide+i] = byte(math.Round(255 * sum / float64(n)))
		}
	}
	return p
}

// Mean is the share of light that passes a picture which is lit evenly.
func (p *Picture) Mean() float64 {
	sum := 0
	for _, v := range p.Pass {
		sum += int(v)
	}
	return float64(sum) / 255 / float64(len(p.Pass))
}
