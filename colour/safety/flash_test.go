package safety_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/safety"
)

// css returns the light of a screen colour, as a table of the guideline has it.
func css(t testing.TB, text string) colour.XYZ {
	t.Helper()
	light, err := colour.ParseCSS(text)
	require.NoError(t, err)
	return light
}

// alternate flips between two lights at an interval, for three seconds.
func alternate(a, b colour.XYZ, every time.Duration) safety.Sequence {
	var s safety.Sequence
	for i := 0; time.Duration(i)*every < 3*time.Second; i++ {
		s = append(s, safety.State{At: time.Duration(i) * every, Light: []colour.XYZ{a, b}[i%2]})
	}
	return s
}

// TestFlipRate: alternating every 0.15 s is 3.33 a second and fails, 0.17 s is
// 2.94 and passes [WCAG 2.3.1].
func TestFlipRate(t *testing.T) {
	require.InDelta(t, 3.33, safety.FlashRate(150*time.Millisecond), 0.005)
	require.InDelta(t, 2.94, safety.FlashRate(170*time.Millisecond), 0.005)
	require.InDelta(t, safety.MostFlashes, safety.FlashRate(safety.LeastFlip), 1e-7)
	black, white := colour.XYZ{}, css(t, "white")
	for every, fails := range map[time.Duration]bool{
		150 * time.Millisecond: true, 170 * time.Millisecond: false, safety.LeastFlip: false, safety.LeastFlip - 2: true,
		time.Second / 20: true, time.Second: false,
	} {
		require.Equal(t, fails, alternate(black, white, every).Worst().Exceeds(), "every %v", every)
		require.Equal(t, fails, alternate(black, white, every).WorstBroadcast(200).Exceeds(), "every %v", every)
	}
	require.Zero(t, safety.Sequence{}.Worst())
	require.InDelta(t, 3.5, alternate(black, white, 150*time.Millisecond).Worst().General, 1e-12, "seven changes")
}

// TestScreenAndSet: what is slow enough on the set may be too fast on the
// screen, and the other way round.
func TestScreenAndSet(t *testing.T) {
	s := alternate(colour.XYZ{}, css(t, "white"), 150*time.Millisecond)
	require.True(t, s.Worst().Exceeds())
	require.False(t, s.OnScreen(0.4).Worst().Exceeds(), "60 frames a second on 24")
	slow := alternate(colour.XYZ{}, css(t, "white"), 300*time.Millisecond)
	require.False(t, slow.Worst().Exceeds())
	require.True(t, slow.OnScreen(24.0/6).Worst().Exceeds(), "6 frames a second on 24")
}

// TestGeneralFlash: 10 % of the brightest white, with the darker under 80 % [WCAG].
func TestGeneralFlash(t *testing.T) {
	require.True(t, safety.IsChange(0.3, 0.2))
	require.True(t, safety.IsChange(0, 0.1))
	require.False(t, safety.IsChange(0.3, 0.21))
	require.False(t, safety.IsChange(0.8, 1), "the darker is not dark enough")
	require.True(t, safety.IsChange(1, 0.79))
	grey := func(y float64) colour.XYZ { return colour.D65.XYZ(y) }
	fast := 50 * time.Millisecond
	require.Positive(t, alternate(grey(0.2), grey(0.3), fast).Worst().General)
	require.Zero(t, alternate(grey(0.2), grey(0.29), fast).Worst().General)
	require.Zero(t, alternate(grey(0.8), grey(1), fast).Worst().General)
	require.Zero(t, alternate(grey(0.2), grey(0.3), fast).Worst().Red, "grey is not red")

	// The second is open at its end: flips every 0.2 s are five in it and not six.
	require.InDelta(t, 2.5, alternate(grey(0), grey(1), 200*time.Millisecond).Worst().General, 1e-12)

	// 20 cd/m2, with the darker under 160 cd/m2 [BT.1702].
	require.True(t, safety.IsBroadcastChange(20, 40))
	require.False(t, safety.IsBroadcastChange(20, 39))
	require.False(t, safety.IsBroadcastChange(160, 200))
	require.True(t, safety.IsBroadcastChange(200, 159))
	require.Zero(t, alternate(grey(0.1), grey(0.19), fast).WorstBroadcast(200).General, "18 cd/m2")
	require.Positive(t, alternate(grey(0.1), grey(0.19), fast).WorstBroadcast(1000).General, "90 cd/m2 on a brighter screen")
	require.Zero(t, alternate(grey(0.85), grey(1), fast).WorstBroadcast(200).General, "170 and 200 cd/m2")
}

// TestSlowAndSmallIsNoFlash: a long fade is one change, however finely it is
// sampled, and a ripple on it none.
func TestSlowAndSmallIsNoFlash(t *testing.T) {
	var rise safety.Sequence
	for i := range 132 { // 3 s at 44 Hz
		y := float64(i)/131*0.9 + 0.04*math.Sin(float64(i)*2)
		rise = append(rise, safety.State{At: time.Duration(i) * time.Second / 44, Light: colour.D65.XYZ(max(y, 0))})
	}
	require.InDelta(t, 0.5, rise.Worst().General, 1e-12, "half a flash")

	// A sine of 4 Hz, sampled, has 4 flashes a second, and one of 2 Hz has 2.
	for _, hz := range []float64{4, 2} {
		var wave safety.Sequence
		for i := range 132 {
			y := 0.4 + 0.3*math.Sin(2*math.Pi*hz*float64(i)/44)
			wave = append(wave, safety.State{At: time.Duration(i) * time.Second / 44, Light: colour.D65.XYZ(y)})
		}
		require.InDelta(t, hz, wave.Worst().General, 0.5)
		require.Equal(t, hz > 3, wave.Worst().Exceeds())
	}
}

// TestSaturatedRed checks the colours of a table computed independently from the
// guideline's formulae.
func TestSaturatedRed(t *testing.T) {
	for text, want := range map[string]struct {
		share, older float64
		red          bool
	}{
		"rgb(255 0 0)": {1.000, 320, true}, "rgb(255 60 60)": {0.917, 291, true}, "rgb(200 0 0)": {1.000, 185, true}, "white": {0.333, 0, false},
	} {
		light := css(t, text)
		r, g, b := light.SRGB()
		require.InDelta(t, want.share, r/(r+g+b), 0.0006, text)
		require.InDelta(t, want.older, max(0, (r-g-b)*320), 0.6, text)
		require.Equal(t, want.red, safety.IsSaturatedRed(light), text)
	}
	red := css(t, "red")
	for text, distance := range map[string]float64{"blue": 0.457, "lime": 0.328, "white": 0.259} {
		other := css(t, text)
		require.InDelta(t, distance, red.XY().UV().Distance(other.XY().UV()), 0.0006, text)
		require.True(t, safety.IsRedChange(red, other), text)
		require.True(t, safety.IsRedChange(other, red), text)
	}
	require.False(t, safety.IsRedChange(css(t, "blue"), css(t, "lime")), "no red in it")
	require.False(t, safety.IsRedChange(red, red))
	require.True(t, safety.IsRedChange(red, colour.XYZ{}), "to darkness, by the older form")
	require.False(t, safety.IsSaturatedRed(colour.XYZ{}))
	led := colour.XY{X: 0.704, Y: 0.296}.XYZ(0.1) // a red LED, outside of a screen's colours
	require.True(t, safety.IsSaturatedRed(led))
}

// TestRedFlashing: red to and fro fails by itself, where brightness would pass.
func TestRedFlashing(t *testing.T) {
	red := css(t, "red")
	green := css(t, "lime").Scale(red.Y / css(t, "lime").Y) // as bright
	fast, slow := alternate(red, green, 150*time.Millisecond), alternate(red, green, 170*time.Millisecond)
	require.Zero(t, fast.Worst().General)
	require.InDelta(t, 3.5, fast.Worst().Red, 1e-12)
	require.True(t, fast.Worst().Exceeds())
	require.False(t, slow.Worst().Exceeds())
	require.True(t, alternate(red, colour.XYZ{}, 100*time.Millisecond).Worst().Red > safety.MostFlashes)
	require.Zero(t, alternate(css(t, "blue"), green, 100*time.Millisecond).Worst().Red)

	// So dim that the older form does not count it, and the newer one does.
	dimRed, dimBlue := red.Scale(0.05), css(t, "blue").Scale(0.05)
	require.InDelta(t, 3.5, alternate(dimRed, dimBlue, 150*time.Millisecond).Worst().Red, 1e-12)
	require.InDelta(t, 3.5, alternate(dimBlue, dimRed, 150*time.Millisecond).Worst().Red, 1e-12)
	require.True(t, safety.IsRedChange(dimRed, dimBlue))
	require.False(t, safety.IsRedChange(dimRed, colour.XYZ{}))
	require.Zero(t, alternate(dimRed, colour.XYZ{}, 150*time.Millisecond).Worst().Red, "darkness has no chromaticity")
	var blinks safety.Sequence // red, dark, blue, dark: as many changes of red as without the dark
	for i := range 40 {
		light := []colour.XYZ{dimRed, {}, dimBlue, {}}[i%4]
		blinks = append(blinks, safety.State{At: time.Duration(i) * 75 * time.Millisecond, Light: light})
	}
	require.InDelta(t, 3.5, blinks.Worst().Red, 1e-12)

	// A fade to red and back, sampled, is one flash.
	var fade safety.Sequence
	for i := range 88 {
		share := 1 - math.Abs(float64(i)-44)/44
		fade = append(fade, safety.State{At: time.Duration(i) * time.Second / 88, Light: css(t, "blue").Scale(1 - share).Add(red.Scale(share))})
	}
	require.InDelta(t, 1, fade.Worst().Red, 1e-12)
}

// TestSmallField: a quarter of any 10 degree field is 0.006 sr [WCAG].
func TestSmallField(t *testing.T) {
	field := 2 * math.Pi * (1 - math.Cos(5*math.Pi/180))
	require.InDelta(t, safety.SmallField, 0.25*field, 0.00005)
}
