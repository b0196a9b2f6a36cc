package main

import (
	"net/netip"

	"linkboy/artnet"
	"linkboy/cues/timecode"
)

// codeTaker takes time code from the network; it never waits.
type codeTaker interface {
	TakeTimecode(source string, code timecode.Code)
}

// takeTimecode hands an ArtTimeCode of the main stream on. A label that
// drop-frame leaves out is read as the first that it does not (frame 2).
func takeTimecode(to codeTaker, from netip.AddrPort, t *artnet.TimeCode) {
	rate, known := map[artnet.TimeCodeType]timecode.Rate{
		artnet.TimeCodeFilm: timecode.Film, artnet.TimeCodeEBU: timecode.EBU,
		artnet.TimeCodeDF: timecode.DropFrame, artnet.TimeCodeSMPTE: timecode.SMPTE,
	}[t.Type]
	if !known || t.Stream != 0 {
		return
	}
	frames := int(t.Frames)
	if t.Skipped() {
		frames = 2
	}
	code, err := timecode.New(rate, int(t.Hours), int(t.Minutes), int(t.Seconds), frames)
	if err != nil {
		return // the codec lets no such label through
	}
	to.TakeTimecode(from.Addr().String(), code)
}
