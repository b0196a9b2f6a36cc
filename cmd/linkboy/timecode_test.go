package main

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/cues/timecode"
)

type takenCodes []string

func (c *takenCodes) TakeTimecode(source string, code timecode.Code) {
	*c = append(*c, source+" "+code.String())
}

// TestTakeTimecode: the types of Art-Net 4, table "ArtTimeCode", field Type.
func TestTakeTimecode(t *testing.T) {
	from := netip.MustParseAddrPort("192.168.1.9:6454")
	for _, row := range []struct {
		code artnet.TimeCode
		want takenCodes
	}{
		{artnet.TimeCode{Hours: 1, Seconds: 12, Frames: 8, Type: 0}, takenCodes{"192.168.1.9 01:00:12:08"}},
		{artnet.TimeCode{Hours: 1, Seconds: 12, Frames: 24, Type: 1}, takenCodes{"192.168.1.9 01:00:12:24"}},
		{artnet.TimeCode{Hours: 1, Seconds: 12, Frames: 29, Type: 2}, takenCodes{"192.168.1.9 01:00:12;29"}},
		{artnet.TimeCode{Hours: 1, Minutes: 1, Frames: 1, Type: 2}, takenCodes{"192.168.1.9 01:01:00;02"}},
		{artnet.TimeCode{Hours: 1, Seconds: 12, Frames: 29, Type: 3}, takenCodes{"192.168.1.9 01:00:12:29"}},
		{artnet.TimeCode{Hours: 1, Stream: 1}, nil},
		{artnet.TimeCode{Hours: 1, Type: 9}, nil},
		{artnet.TimeCode{Hours: 30}, nil},
	} {
		var got takenCodes
		takeTimecode(&got, from, &row.code)
		require.Equal(t, row.want, got, "%+v", row.code)
	}
}
