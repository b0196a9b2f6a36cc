package artnet

// NextSequence is the sequence number after s: 1..255, then 1 again, never 0.
func NextSequence(s uint8) uint8 {
	if s == 255 {
		return 1
	}
	return s + 1
}

// sequenceWindow is how far behind a packet may be and still count as overtaken
// by a newer one; further back is a sender that has started again. ANSI E1.31
// section 6.7 has the same window.
const sequenceWindow = 20

// Overtaken reports whether a packet numbered got came after the newer packet
// numbered last and must be dropped: got-last in 8 bits is in -19..0. 0 on
// either side means that the sender does not count, and nothing is dropped.
func Overtaken(last, got uint8) bool {
	if last == 0 || got == 0 {
		return false
	}
	behind := int8(got - last)
	return behind <= 0 && behind > -sequenceWindow
}
