package sacn

// sequenceWindow is how far behind a packet may be and still count as overtaken
// by a newer one; further back is a source that has started again.
const sequenceWindow = 20

// Overtaken reports whether a packet numbered got came after the newer packet
// numbered last, or for a second time, and must be discarded: got-last as a
// signed 8-bit number is in -19..0. ANSI E1.31 section 6.7. Numbers are
// compared per source (CID), universe and kind of packet; the first packet of a
// source has nothing to be compared with. 0 is a number like any other.
func Overtaken(last, got uint8) bool {
	behind := int8(got - last)
	return behind <= 0 && behind > -sequenceWindow
}
