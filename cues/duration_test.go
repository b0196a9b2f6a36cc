package cues_test

import (
	"fmt"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
)

func TestReal(t *testing.T) {
	at120 := cues.Tempo{BPM: 120, BeatsPerBar: 4}
	tests := []struct {
		source string
		amount float64
		unit   cues.Unit
		screen bool
		clock  cues.Clock
		want   time.Duration
	}{
		{"a second is a second", 4, cues.Seconds, false, cues.Clock{}, 4 * time.Second},
		{"a tenth is exact", 0.1, cues.Seconds, false, cues.Clock{}, 100 * time.Millisecond},
		{"milliseconds", 250, cues.Milliseconds, false, cues.Clock{}, 250 * time.Millisecond},
		// Slow motion: real time = screen time * timeline/capture (common practice, no source).
		{"3 s on screen, 60 on 24", 3, cues.Seconds, true, cues.Clock{Capture: 60, Timeline: 24}, 1200 * time.Millisecond},
		{"1 s... of 3 on screen, 120 on 25", 3, cues.Seconds, true, cues.Clock{Capture: 120, Timeline: 25}, 625 * time.Millisecond},
		{"2 s on screen, 60 on 24", 2, cues.Seconds, true, cues.Clock{Capture: 60, Timeline: 24}, 800 * time.Millisecond},
		{"which are 48 captured frames", 48, cues.Frames, false, cues.Clock{Capture: 60, Timeline: 24}, 800 * time.Millisecond},
		{"and 48 frames of the edit", 48, cues.Frames, true, cues.Clock{Capture: 60, Timeline: 24}, 800 * time.Millisecond},
		{"time lapse, 1 on 24", 1, cues.Seconds, true, cues.Clock{Capture: 1, Timeline: 24}, 24 * time.Second},
		{"screen time in ms", 500, cues.Milliseconds, true, cues.Clock{Capture: 50, Timeline: 25}, 250 * time.Millisecond},
		// SMPTE ST 12-1: 23.976 is 24000/1001, 29.97 is 30000/1001, 59.94 is 60000/1001.
		{"72 frames at 23.976", 72, cues.Frames, false, cues.Clock{Capture: 23.976}, 3003 * time.Millisecond},
		{"72 frames at 23.98", 72, cues.Frames, false, cues.Clock{Capture: 23.98}, 3003 * time.Millisecond},
		{"30 frames at 29.97", 30, cues.Frames, false, cues.Clock{Capture: 29.97}, 1001 * time.Millisecond},
		{"60 frames at 59.94", 60, cues.Frames, false, cues.Clock{Capture: 59.94}, 1001 * time.Millisecond},
		{"119.88 on 23.976 is five times slower", 1, cues.Seconds, true, cues.Clock{Capture: 119.88, Timeline: 23.976}, 200 * time.Millisecond},
		{"23.9 is itself", 239, cues.Frames, false, cues.Clock{Capture: 23.9}, 10 * time.Second},
		{"24 is no 23.976", 24, cues.Frames, false, cues.Clock{Capture: 24}, time.Second},
		// A beat is 60/BPM, by the definition of beats per minute.
		{"a beat at 120", 1, cues.Beats, false, cues.Clock{Tempo: at120}, 500 * time.Millisecond},
		{"a beat at 128", 1, cues.Beats, false, cues.Clock{Tempo: cues.Tempo{BPM: 128}}, 468_750 * time.Microsecond},
		{"a beat at 90", 3, cues.Beats, false, cues.Clock{Tempo: cues.Tempo{BPM: 90}}, 2 * time.Second},
		{"two bars of four at 120", 2, cues.Bars, false, cues.Clock{Tempo: at120}, 4 * time.Second},
		{"a bar of three at 90", 1, cues.Bars, false, cues.Clock{Tempo: cues.Tempo{BPM: 90, BeatsPerBar: 3}}, 2 * time.Second},
		// Playback for slow motion runs at capture/timeline: 120 BPM at 60 on 24 is played at 300 (common practice, no source).
		{"a beat on screen, 60 on 24", 1, cues.Beats, true, cues.Clock{Capture: 60, Timeline: 24, Tempo: at120}, 200 * time.Millisecond},
		{"a third rounds to the nearest", 1, cues.Frames, false, cues.Clock{Capture: 30}, 33_333_333},
		{"two thirds as well", 2, cues.Frames, false, cues.Clock{Capture: 30}, 66_666_667},
		{"nothing written is no time", 0, "", false, cues.Clock{}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			d := cues.Duration{Amount: tt.amount, Unit: tt.unit, OnScreen: tt.screen}
			got, err := d.Real(tt.clock)
			require.NoError(t, err)
			require.Equal(t, tt.want, got)
		})
	}
}

// Beat n stands at n*60/BPM, however far in: rounding must not add up. Over an hour every
// beat is within half a nanosecond, where 1 ms is asked.
func TestRealDoesNotDrift(t *testing.T) {
	for _, bpm := range []float64{72, 97, 103.5, 128, 174} {
		clock := cues.Clock{Tempo: cues.Tempo{BPM: bpm}}
		for n := range int(60*bpm) + 1 {
			got, err := cues.Duration{Amount: float64(n), Unit: cues.Beats}.Real(clock)
			require.NoError(t, err)
			exact := new(big.Rat).Mul(big.NewRat(int64(n)*60*1e9, 1), new(big.Rat).Inv(new(big.Rat).SetFloat64(bpm)))
			off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(int64(got)))
			require.LessOrEqual(t, off.Abs(off).Cmp(big.NewRat(1, 2)), 0, "beat %d at %g BPM: %s", n, bpm, got)
		}
	}
}

func TestRealRefuses(t *testing.T) {
	full := cues.Clock{Capture: 24, Timeline: 24, Tempo: cues.Tempo{BPM: 120, BeatsPerBar: 4}}
	at := cues.Pos{File: "locations/pier.yaml", Line: 7, Column: 12}
	tests := []struct {
		name  string
		d     cues.Duration
		clock cues.Clock
		code  string
	}{
		{"beats without a tempo", cues.Duration{Amount: 8, Unit: cues.Beats}, cues.Clock{}, cues.CodeNoTempo},
		{"bars without a bar", cues.Duration{Amount: 2, Unit: cues.Bars}, cues.Clock{Tempo: cues.Tempo{BPM: 120}}, cues.CodeNoTempo},
		{"frames without a rate", cues.Duration{Amount: 8, Unit: cues.Frames}, cues.Clock{}, cues.CodeNoFrameRate},
		{"screen time without a timeline", cues.Duration{Amount: 8, Unit: cues.Seconds, OnScreen: true}, cues.Clock{Capture: 24}, cues.CodeNoFrameRate},
		{"negative", cues.Duration{Amount: -1, Unit: cues.Seconds}, full, cues.CodeOutOfRange},
		{"longer than a day", cues.Duration{Amount: 86_400.001, Unit: cues.Seconds}, full, cues.CodeTimeTooLong},
		{"far longer than a Duration holds", cues.Duration{Amount: 1e300, Unit: cues.Bars}, full, cues.CodeTimeTooLong},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.d.At = at
			_, err := tt.d.Real(tt.clock)
			var p *cues.Problem
			require.ErrorAs(t, err, &p)
			require.Equal(t, tt.code, p.Code)
			require.Equal(t, at, p.Pos)
			require.NotEmpty(t, p.Mend)
		})
	}
	_, err := cues.Duration{Amount: 86_400, Unit: cues.Seconds}.Real(full)
	require.NoError(t, err, "a day itself is allowed")
}

func TestDurationString(t *testing.T) {
	for _, tt := range []struct {
		d    cues.Duration
		want string
	}{
		{cues.Duration{Amount: 4, Unit: cues.Seconds, OnScreen: true}, "4 s on screen"},
		{cues.Duration{Amount: 1, Unit: cues.Frames}, "1 frame"},
		{cues.Duration{Amount: 1, Unit: cues.Milliseconds}, "1 ms"},
		{cues.Duration{Amount: 0.25, Unit: cues.Bars}, "0.25 bars"},
		{cues.Duration{}, ""},
	} {
		require.Equal(t, tt.want, tt.d.String())
	}
}

func ExampleDuration_Real() {
	// Three seconds on screen, shot at 60 for an edit at 24.
	d := cues.Duration{Amount: 3, Unit: cues.Seconds, OnScreen: true}
	real, _ := d.Real(cues.Clock{Capture: 60, Timeline: 24})
	fmt.Println(d, "take", real)
	// Output: 3 s on screen take 1.2s
}
