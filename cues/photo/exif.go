package photo

import (
	"bytes"
	"encoding/binary"
)

// Orientation gives which way up a JPEG is, 1 to 8, by its EXIF segment (JEITA CP-3451,
// tag 274 of the first directory); 1, upright, where it does not say.
func Orientation(jpeg []byte) int {
	tiff := exifOf(jpeg)
	if len(tiff) < 8 {
		return 1
	}
	order := binary.ByteOrder(binary.LittleEndian)
	switch string(tiff[:2]) {
	case "II":
	case "MM":
		order = binary.BigEndian
	default:
		return 1
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	entries := int(order.Uint16(tiff[at:]))
	for i := range entries {
		entry := at + 2 + uint64(i)*12
		if entry+12 > uint64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[entry:]) != 274 {
			continue
		}
		if v := order.Uint16(tiff[entry+8:]); v >= 1 && v <= 8 && order.Uint16(tiff[entry+2:]) == 3 {
			return int(v)
		}
		return 1
	}
	return 1
}

// exifOf gives the TIFF part of the EXIF segment of a JPEG; nil when it has none.
func exifOf(jpeg []byte) []byte {
	const head = "Exif\x00\x00"
	if !bytes.HasPrefix(jpeg, []byte("\xff\xd8")) {
		return nil
	}
	for b := jpeg[2:]; len(b) >= 4 && b[0] == 0xff; {
		marker, n := b[1], int(binary.BigEndian.Uint16(b[2:]))
		if n < 2 || 2+n > len(b) || marker == 0xda { // the picture begins
			return nil
		}
		if body := b[4 : 2+n]; marker == 0xe1 && bytes.HasPrefix(body, []byte(head)) {
			return body[len(head):]
		}
		b = b[2+n:]
	}
	return nil
}
