package artnet

import "fmt"

// TimeCodeType says how many frames a second of an ArtTimeCode has.
type TimeCodeType uint8

// The types of ArtTimeCode.
const (
	TimeCodeFilm  TimeCodeType = 0 // 24 frames a second
	TimeCodeEBU   TimeCodeType = 1 // 25
	TimeCodeDF    TimeCodeType = 2 // 29.97, drop-frame: labels 0..29
	TimeCodeSMPTE TimeCodeType = 3 // 30
)

// Frames is the number of frame labels in a second: 24, 25, 30, 30; 0 for a
// type without a meaning.
func (t TimeCodeType) Frames() uint8 {
	labels := [...]uint8{TimeCodeFilm: 24, TimeCodeEBU: 25, TimeCodeDF: 30, TimeCodeSMPTE: 30}
	if int(t) < len(labels) {
		return labels[t]
	}
	return 0
}

// String is the frame rate.
func (t TimeCodeType) String() string {
	names := [...]string{TimeCodeFilm: "24", TimeCodeEBU: "25", TimeCodeDF: "29.97 drop-frame", TimeCodeSMPTE: "30"}
	if int(t) < len(names) {
		return names[t]
	}
	return fmt.Sprintf("type %d", uint8(t))
}

const timeCodeSize = 19

// TimeCode is ArtTimeCode: one label of a running time. Art-Net 4, section
// "ArtTimeCode":
//
//	12  Filler, 0    14  Frames    16  Minutes    18  Type
//	13  StreamId     15  Seconds   17  Hours
type TimeCode struct {
	Stream  uint8 // 0 is the main stream; always 0 before streams came
	Frames  uint8 // 0..23, 0..24 or 0..29, as Type says
	Seconds uint8 // 0..59
	Minutes uint8 // 0..59
	Hours   uint8 // 0..23
	Type    TimeCodeType
}

// OpCode is OpTimeCode.
func (*TimeCode) OpCode() OpCode { return OpTimeCode }

// String is hours:minutes:seconds:frames, with a semicolon before the frames
// of drop-frame (common practice, no source).
func (t *TimeCode) String() string {
	sep := ':'
	if t.Type == TimeCodeDF {
		sep = ';'
	}
	return fmt.Sprintf("%02d:%02d:%02d%c%02d", t.Hours, t.Minutes, t.Seconds, sep, t.Frames)
}

// Skipped reports a label that drop-frame counting leaves out: frames 0 and 1
// of every minute but each tenth (SMPTE ST 12-1). Such a packet is encoded and
// taken like any other; a receiver had better read it as frame 2.
func (t *TimeCode) Skipped() bool {
	return t.Type == TimeCodeDF && t.Frames < 2 && t.Seconds == 0 && t.Minutes%10 != 0
}

// AppendBinary appends 19 bytes. Errors wrap ErrTime.
func (t *TimeCode) AppendBinary(b []byte) ([]byte, error) {
	if err := t.check(); err != nil {
		return b, err
	}
	b = appendHeader(b, OpTimeCode)
	return append(b, 0, t.Stream, t.Frames, t.Seconds, t.Minutes, t.Hours, uint8(t.Type)), nil
}

// Parse decodes b into t. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort,
// ErrVersion or ErrTime, and leave t as it was.
func (t *TimeCode) Parse(b []byte) error {
	if err := header(b, OpTimeCode, timeCodeSize); err != nil {
		return err
	}
	got := TimeCode{Stream: b[13], Frames: b[14], Seconds: b[15], Minutes: b[16], Hours: b[17], Type: TimeCodeType(b[18])}
	if err := got.check(); err != nil {
		return err
	}
	*t = got
	return nil
}

func (t *TimeCode) check() error {
	if t.Hours > 23 || t.Minutes > 59 || t.Seconds > 59 || t.Frames >= t.Type.Frames() {
		return fmt.Errorf("artnet: %v: %w: got %v at %v frames a second, need 00:00:00:00 to 23:59:59 and the last frame of a second",
			OpTimeCode, ErrTime, t.String(), t.Type) // not t, which would move every code parsed to the heap
	}
	return nil
}
