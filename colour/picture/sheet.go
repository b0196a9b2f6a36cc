package picture

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Named is a picture with what stands under it.
type Named struct {
	Name  string
	Image image.Image
}

// What a sheet is laid out by, as shares of the width of its pictures.
const (
	gap     = 0.03
	caption = 0.05 // height of the letters
)

// sheetInk is a dim warm grey: sheets are looked at in the dark too.
var sheetInk = color.NRGBA{R: 0xc8, G: 0x9a, B: 0x80, A: 0xff}

// Sheet puts pictures of one size on a black sheet, so many in a row, each with its
// name under it. It fails without pictures, or when they differ in size.
func Sheet(pictures []Named, columns int) (*image.NRGBA, error) {
	if len(pictures) == 0 || columns < 1 {
		return nil, fmt.Errorf("a sheet of %d pictures in %d columns", len(pictures), columns)
	}
	size := pictures[0].Image.Bounds().Size()
	space, letters := max(1, int(gap*float64(size.X))), max(8, caption*float64(size.X))
	columns = min(columns, len(pictures))
	rows := (len(pictures) + columns - 1) / columns
	cell := image.Pt(size.X+space, size.Y+space+int(1.6*letters))
	sheet := image.NewNRGBA(image.Rect(0, 0, columns*cell.X+space, rows*cell.Y+space))
	draw.Draw(sheet, sheet.Rect, image.Black, image.Point{}, draw.Src)
	face, err := newFace(letters)
	if err != nil {
		return nil, err
	}
	defer face.Close()
	for i, p := range pictures {
		b := p.Image.Bounds()
		if b.Size() != size {
			return nil, fmt.Errorf("picture %q is %v, not %v", p.Name, b.Size(), size)
		}
		at := image.Pt(space+i%columns*cell.X, space+i/columns*cell.Y)
		draw.Draw(sheet, image.Rectangle{at, at.Add(size)}, p.Image, b.Min, draw.Src)
		write(sheet, face, p.Name, at.Add(image.Pt(0, size.Y+int(1.2*letters))), size.X)
	}
	return sheet, nil
}

// newFace is the letters of captions, so many pixels high.
func newFace(height float64) (font.Face, error) {
	parsed, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(parsed, &opentype.FaceOptions{Size: height, DPI: 72, Hinting: font.HintingFull})
}

// write writes a name on a line, cut with dots where it is too long.
func write(on draw.Image, face font.Face, name string, at image.Point, width int) {
	letters := []rune(name)
	for cut := len(letters); cut > 0 && font.MeasureString(face, name).Ceil() > width; cut-- {
		name = string(letters[:cut-1]) + "..."
	}
	d := font.Drawer{Dst: on, Src: image.NewUniform(sheetInk), Face: face, Dot: fixed.P(at.X, at.Y)}
	d.DrawString(name)
}
