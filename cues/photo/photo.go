// Package photo makes a picture of a take of what a phone sends: upright, no larger
// than it is looked at, and nothing in it but the picture. Metadata tell where and when
// a person was, so the picture is decoded and encoded anew, which keeps none of them;
// of them only the way up is read, and carried out.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"linkboy/cues/take"
)

const (
	// MostPixels is the largest picture that is decoded: it takes 12 bytes a pixel at
	// most to do so.
	MostPixels = 64 << 20
	// LongEdge is how many pixels the longer side has at most in the end.
	LongEdge = 2048
	quality  = 85
)

// Errors of Clean.
var (
	ErrForm   = errors.New("the picture is no JPEG and no PNG")
	ErrLarge  = errors.New("the picture has too many pixels")
	ErrBroken = errors.New("the picture cannot be read")
)

// Clean decodes a JPEG or PNG and encodes it anew as a JPEG of LongEdge at most. The
// error wraps one of ErrForm, ErrLarge, ErrBroken.
func Clean(picture []byte) (take.Photo, error) {
	config, decode := jpeg.DecodeConfig, jpeg.Decode
	switch {
	case bytes.HasPrefix(picture, []byte("\xff\xd8\xff")):
	case bytes.HasPrefix(picture, []byte("\x89PNG\r\n\x1a\n")):
		config, decode = png.DecodeConfig, png.Decode
	default:
		return take.Photo{}, ErrForm
	}
	size, err := config(bytes.NewReader(picture))
	if err != nil {
		return take.Photo{}, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	if size.Width < 1 || size.Height < 1 {
		return take.Photo{}, fmt.Errorf("%w: it is empty", ErrBroken)
	}
	if size.Width > MostPixels/size.Height {
		return take.Photo{}, fmt.Errorf("%w: %d x %d, and %d million are read", ErrLarge, size.Width, size.Height, MostPixels>>20)
	}
	img, err := decode(bytes.NewReader(picture))
	if err != nil {
		return take.Photo{}, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	img = upright(shrink(img, LongEdge), Orientation(picture))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: quality}); err != nil {
		return take.Photo{}, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	return take.Photo{Width: img.Bounds().Dx(), Height: img.Bounds().Dy(), Bytes: out.Len(), JPEG: out.Bytes()}, nil
}

// shrink makes the longer side most pixels at most, each the mean of those it stands
// for; what is clear becomes black, as on a dark page.
func shrink(img image.Image, most int) *image.RGBA {
	from := img.Bounds()
	w, h := from.Dx(), from.Dy()
	long := max(w, h)
	nw, nh := w, h
	if long > most {
		nw, nh = max(w*most/long, 1), max(h*most/long, 1)
	}
	out := image.NewRGBA(image.Rect(0, 0, nw, nh))
	for y := range nh {
		y0, y1 := y*h/nh, max((y+1)*h/nh, y*h/nh+1)
		for x := range nw {
			x0, x1 := x*w/nw, max((x+1)*w/nw, x*w/nw+1)
			var r, g, b, n uint64
			for v := y0; v < y1; v++ {
				for u := x0; u < x1; u++ {
					pr, pg, pb, _ := img.At(from.Min.X+u, from.Min.Y+v).RGBA()
					r, g, b, n = r+uint64(pr), g+uint64(pg), b+uint64(pb), n+1
				}
			}
			out.SetRGBA(x, y, color.RGBA{byte(r / n >> 8), byte(g / n >> 8), byte(b / n >> 8), 0xff})
		}
	}
	return out
}

// upright turns a picture the way that its orientation (EXIF 2.32, tag 274) says.
func upright(img *image.RGBA, orientation int) *image.RGBA {
	if orientation < 2 || orientation > 8 {
		return img
	}
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	nw, nh := w, h
	if orientation >= 5 {
		nw, nh = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, nw, nh))
	for y := range h {
		for x := range w {
			nx, ny := x, y
			switch orientation {
			case 2:
				nx = w - 1 - x
			case 3:
				nx, ny = w-1-x, h-1-y
			case 4:
				ny = h - 1 - y
			case 5:
				nx, ny = y, x
			case 6:
				nx, ny = h-1-y, x
			case 7:
				nx, ny = h-1-y, w-1-x
			case 8:
				nx, ny = y, w-1-x
			}
			out.SetRGBA(nx, ny, img.RGBAAt(x, y))
		}
	}
	return out
}
