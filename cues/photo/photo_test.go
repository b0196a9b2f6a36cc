package photo_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/photo"
)

// halves is a picture that is red on the left and blue on the right, with a green top.
func halves(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{200, 0, 0, 255}
			if x >= w/2 {
				c = color.RGBA{0, 0, 200, 255}
			}
			if y < h/4 {
				c = color.RGBA{0, 200, 0, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

// order is the byte order of a TIFF part.
type order interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// withExif puts an EXIF segment into a JPEG: the head and the directory of JEITA
// CP-3451 section 4.5, with the orientation and a text that tells of a place.
func withExif(t testing.TB, plain []byte, order order, orientation uint16) []byte {
	t.Helper()
	tiff := []byte("II*\x00")
	if order.String() == binary.BigEndian.String() {
		tiff = []byte("MM\x00*")
	}
	u16 := func(v uint16) { tiff = order.AppendUint16(tiff, v) }
	u32 := func(v uint32) { tiff = order.AppendUint32(tiff, v) }
	u32(8) // the first directory
	u16(2)
	u16(0x010e) // ImageDescription, ASCII
	u16(2)
	u32(18)
	u32(8 + 2 + 2*12 + 4)
	u16(274) // Orientation, SHORT
	u16(3)
	u32(1)
	u16(orientation)
	u16(0)
	u32(0)
	tiff = append(tiff, "48.2082 16.3738 x\x00"...)
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2))
	return append(append(append([]byte{}, plain[:2]...), append(segment, body...)...), plain[2:]...)
}

func encoded(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	return b.Bytes()
}

func TestMetadataAreGone(t *testing.T) {
	for _, order := range []order{binary.LittleEndian, binary.BigEndian} {
		with := withExif(t, encoded(t, halves(64, 48)), order, 1)
		require.Contains(t, string(with), "48.2082")
		p, err := photo.Clean(with)
		require.NoError(t, err)
		require.NotContains(t, string(p.JPEG), "48.2082")
		require.NotContains(t, string(p.JPEG), "Exif")
		require.Equal(t, []int{64, 48, len(p.JPEG)}, []int{p.Width, p.Height, p.Bytes})
	}
}

// Where the first row and the first column of what is stored belong, by JEITA CP-3451
// table 6 (Orientation): 1 top left, 2 top right, 3 bottom right, 4 bottom left, 5 left
// top, 6 right top, 7 right bottom, 8 left bottom.
func TestPicturesStandUpright(t *testing.T) {
	for orientation, edge := range map[uint16]struct {
		w, h   int
		row    image.Point // on the first row as stored: green
		column image.Point // low on the first column as stored: red
	}{
		1: {64, 48, image.Pt(32, 2), image.Pt(4, 40)}, 2: {64, 48, image.Pt(32, 2), image.Pt(60, 40)},
		3: {64, 48, image.Pt(32, 45), image.Pt(60, 8)}, 4: {64, 48, image.Pt(32, 45), image.Pt(4, 8)},
		5: {48, 64, image.Pt(2, 32), image.Pt(40, 4)}, 6: {48, 64, image.Pt(45, 32), image.Pt(8, 4)},
		7: {48, 64, image.Pt(45, 32), image.Pt(8, 60)}, 8: {48, 64, image.Pt(2, 32), image.Pt(40, 60)},
	} {
		p, err := photo.Clean(withExif(t, encoded(t, halves(64, 48)), binary.LittleEndian, orientation))
		require.NoError(t, err)
		require.Equal(t, []int{edge.w, edge.h}, []int{p.Width, p.Height}, orientation)
		img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
		require.NoError(t, err)
		_, g, _, _ := img.At(edge.row.X, edge.row.Y).RGBA()
		require.Greater(t, g, uint32(0x8000), "orientation %d: the first row", orientation)
		r, _, _, _ := img.At(edge.column.X, edge.column.Y).RGBA()
		require.Greater(t, r, uint32(0x8000), "orientation %d: the first column", orientation)
	}
}

func TestLargePicturesShrink(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, halves(4100, 100)))
	p, err := photo.Clean(b.Bytes())
	require.NoError(t, err)
	require.Equal(t, []int{2048, 49}, []int{p.Width, p.Height})
}

func TestWhatIsNoPictureIsRefused(t *testing.T) {
	good := encoded(t, halves(64, 48))
	_, err := photo.Clean([]byte("GIF89a..."))
	require.ErrorIs(t, err, photo.ErrForm)
	_, err = photo.Clean(nil)
	require.ErrorIs(t, err, photo.ErrForm)
	_, err = photo.Clean(good[:len(good)/3])
	require.ErrorIs(t, err, photo.ErrBroken)
	// A PNG head that promises 100 000 x 100 000 pixels (PNG, section 11.2.2).
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, halves(4, 4)))
	bomb := b.Bytes()
	binary.BigEndian.PutUint32(bomb[16:], 100_000)
	binary.BigEndian.PutUint32(bomb[20:], 100_000)
	_, err = photo.Clean(bomb)
	require.Error(t, err) // its checksum is wrong too, which is seen first
	_, err = photo.Clean(wide(t))
	require.ErrorIs(t, err, photo.ErrLarge)
}

// wide is a JPEG whose frame header says 65500 x 65500 (ITU-T T.81, B.2.2).
func wide(t *testing.T) []byte {
	b := encoded(t, halves(64, 48))
	at := bytes.Index(b, []byte{0xff, 0xc0})
	require.Positive(t, at)
	binary.BigEndian.PutUint16(b[at+5:], 65500)
	binary.BigEndian.PutUint16(b[at+7:], 65500)
	return b
}

func FuzzOrientation(f *testing.F) {
	f.Add(withExif(f, encoded(f, halves(8, 8)), binary.LittleEndian, 6))
	f.Add(withExif(f, encoded(f, halves(8, 8)), binary.BigEndian, 8))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x02"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if v := photo.Orientation(b); v < 1 || v > 8 {
			t.Errorf("orientation %d", v)
		}
	})
}
