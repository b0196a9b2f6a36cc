package gobo_test

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/gobo"
)

func encoded(t testing.TB, img image.Image) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// painted is a picture of one colour for each point.
func painted(w, h int, at func(x, y int) color.Color) image.Image {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, at(x, y))
		}
	}
	return img
}

// Grey 128 is 21.6 % of light and grey 188 is 50.3 % (IEC 61966-2-1); full red, green and
// blue are 21.26, 71.52 and 7.22 % (ITU-R BT.709); what is transparent is black.
func TestReadPNG(t *testing.T) {
	colours := []color.Color{color.White, color.Black, color.Gray{128}, color.Gray{188}, color.NRGBA{R: 255, A: 255}, color.NRGBA{G: 255, A: 255}, color.NRGBA{B: 255, A: 255}, color.NRGBA{255, 255, 255, 0}}
	p, err := gobo.ReadPNG(bytes.NewReader(encoded(t, painted(len(colours), 1, func(x, _ int) color.Color { return colours[x] }))))
	require.NoError(t, err)
	require.Equal(t, []byte{255, 0, 55, 128, 54, 182, 18, 0}, p.Pass)
	require.Equal(t, []int{8, 1}, []int{p.Wide, p.High})
}

// A large picture is made smaller and keeps its light.
func TestReadPNGMakesSmaller(t *testing.T) {
	p, err := gobo.ReadPNG(bytes.NewReader(encoded(t, painted(1000, 600, func(x, y int) color.Color {
		return color.Gray{byte(255 * ((x / 50) % 2))}
	}))))
	require.NoError(t, err)
	require.Equal(t, []int{256, 153}, []int{p.Wide, p.High})
	require.InDelta(t, 0.5, p.Mean(), 0.002)
}

func TestReadPNGRefuses(t *testing.T) {
	good := encoded(t, painted(8, 8, func(int, int) color.Color { return color.White }))
	for name, b := range map[string][]byte{
		"nothing":        nil,
		"a text":         []byte("no picture"),
		"a cut":          good[:len(good)-20],
		"black all over": encoded(t, painted(8, 8, func(int, int) color.Color { return color.Black })),
		"too wide":       encoded(t, painted(4097, 1, func(int, int) color.Color { return color.White })),
	} {
		_, err := gobo.ReadPNG(bytes.NewReader(b))
		require.ErrorIs(t, err, gobo.ErrPicture, name)
	}
	broken := errors.New("the disc is broken")
	_, err := gobo.ReadPNG(iotest.ErrReader(broken))
	require.ErrorIs(t, err, broken)
	require.NotErrorIs(t, err, gobo.ErrPicture)
}

// A soft edge goes from dark to light over the width that was asked, a pixel more or less,
// has its middle where it was, and no light is lost.
func TestSoft(t *testing.T) {
	p := &gobo.Picture{Wide: 100, High: 60, Pass: make([]byte, 6000)}
	for i := range p.Pass {
		if i%100 >= 40 {
			p.Pass[i] = 255
		}
	}
	same, rim := p.Soft(0)
	require.Same(t, p, same)
	require.Zero(t, rim)
	for _, width := range []float64{3, 10, 25.5} {
		soft, rim := p.Soft(width)
		require.Equal(t, []int{100 + 2*rim, 60 + 2*rim}, []int{soft.Wide, soft.High})
		middle := soft.Pass[soft.High/2*soft.Wide:][rim : rim+100]
		for x, v := range middle[:60] {
			switch d := float64(x) + 0.5 - 40; {
			case d < -width/2-1:
				require.Zero(t, v, "%v at %d", width, x)
			case d > width/2+1:
				require.EqualValues(t, 255, v, "%v at %d", width, x)
			}
		}
		require.InDelta(t, 127.5, (float64(middle[39])+float64(middle[40]))/2, 1, "the middle of the edge")
		before, after := p.Mean()*6000, soft.Mean()*float64(len(soft.Pass))
		require.InEpsilon(t, before, after, 0.005)
	}
}

// FuzzReadPNG: whatever is read is a picture that some light passes.
func FuzzReadPNG(f *testing.F) {
	f.Add(encoded(f, painted(9, 5, func(x, y int) color.Color { return color.Gray{byte(x * y * 5)} })))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := gobo.ReadPNG(bytes.NewReader(b))
		if err != nil {
			require.ErrorIs(t, err, gobo.ErrPicture)
			return
		}
		require.Len(t, p.Pass, p.Wide*p.High)
		require.Positive(t, p.Mean())
	})
}
