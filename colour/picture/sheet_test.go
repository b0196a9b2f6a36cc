package picture_test

import (
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/picture"
)

func plain(w, h int, grey uint8) image.Image {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = grey
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	return img
}

// Each picture stands in its place with a name under it, in black.
func TestSheet(t *testing.T) {
	var all []picture.Named
	for i, name := range []string{"warden", "tide", "surfacing", strings.Repeat("a long name ", 20), "undertow"} {
		all = append(all, picture.Named{Name: name, Image: plain(200, 100, uint8(50+10*i))})
	}
	sheet, err := picture.Sheet(all, 3)
	require.NoError(t, err)
	require.Equal(t, color.NRGBA{0, 0, 0, 255}, sheet.NRGBAAt(0, 0))
	for i := range all {
		x, y := 6+i%3*206+100, 6+i/3*(106+16)+50
		require.Equal(t, uint8(50+10*i), sheet.NRGBAAt(x, y).R)
		ink := 0
		for dy := 52; dy < 66; dy++ {
			for dx := -100; dx < 100; dx++ {
				if sheet.NRGBAAt(x+dx, y+dy).R > 60 {
					ink++
				}
			}
		}
		require.Greater(t, ink, 20, "a name under %d", i)
	}
	require.Equal(t, image.Pt(3*206+6, 2*122+6), sheet.Rect.Size())
}

func TestSheetRefuses(t *testing.T) {
	_, err := picture.Sheet(nil, 3)
	require.Error(t, err)
	_, err = picture.Sheet([]picture.Named{{Image: plain(4, 4, 1)}, {Name: "b", Image: plain(5, 4, 1)}}, 3)
	require.ErrorContains(t, err, `picture "b"`)
}
