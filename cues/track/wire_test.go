package track_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

// Every code has values that make it, and they are all of those that do.
func TestValuesMakeTheirCode(t *testing.T) {
	square := track.NewCurve(func(light float64) float64 { return math.Sqrt(light) })
	l := &track.Layout{
		Universes: []track.Universe{{Address: 1, Base: make([]byte, 4)}},
		Curves:    []track.Curve{{}, square},
	}
	for _, s := range []track.Slot{{}, {Wide: true}, {Curve: 1}, {Curve: 1, Wide: true}} {
		full, step := 255, 1
		if s.Wide {
			full, step = 65535, 97
		}
		for code := 0; code <= full; code += step {
			low, high := l.Values(&s, uint16(code))
			require.LessOrEqual(t, low, high)
			got := l.Code(&s, low)
			if s.Curve == 0 || !s.Wide {
				require.EqualValues(t, code, got)
				require.EqualValues(t, code, l.Code(&s, high))
				require.EqualValues(t, code, l.Code(&s, low+(high-low)/2))
			} else { // the table of a curve may pass over a code near the dark
				require.InDelta(t, code, got, 1)
			}
			if low > 0 {
				require.Less(t, l.Code(&s, math.Nextafter32(low, 0)), got)
			}
		}
		low, _ := l.Values(&s, 0)
		require.Zero(t, low)
		_, high := l.Values(&s, uint16(full))
		require.EqualValues(t, 1, high)
	}
}

// The codes are those that Write puts into a frame.
func TestCodeIsWhatIsWritten(t *testing.T) {
	l := &track.Layout{
		Universes: []track.Universe{{Address: 1, Base: make([]byte, 4)}},
		Curves:    []track.Curve{{}, track.NewCurve(func(light float64) float64 { return math.Sqrt(light) })},
		Slots:     []track.Slot{{Offset: 0, Curve: 1}, {Offset: 1, Wide: true}},
	}
	frame := l.NewFrame()
	for i := range 1000 {
		v := float32(i) / 999
		l.Write(track.Still{v, v}, 1, false, frame)
		require.Equal(t, l.Code(&l.Slots[0], v), uint16(frame[0][0]))
		require.Equal(t, l.Code(&l.Slots[1], v), uint16(frame[0][1])<<8|uint16(frame[0][2]))
	}
}
