package safety_test

import (
	"fmt"
	"time"

	"linkboy/colour"
	"linkboy/colour/photometry"
	"linkboy/colour/safety"
)

// A set that flips between two looks, as fast as it may and a little faster.
func ExampleSequence_Worst() {
	for _, every := range []time.Duration{170 * time.Millisecond, 150 * time.Millisecond} {
		var s safety.Sequence
		for i := range 20 {
			y := []float64{0.1, 0.6}[i%2]
			s = append(s, safety.State{At: time.Duration(i) * every, Light: colour.D65.XYZ(y)})
		}
		worst := s.Worst()
		fmt.Printf("every %v: %.2f a second, %.1f flashes, too many: %v\n", every, safety.FlashRate(every), worst.General, worst.Exceeds())
	}
	// Output:
	// every 170ms: 2.94 a second, 3.0 flashes, too many: false
	// every 150ms: 3.33 a second, 3.5 flashes, too many: true
}

func ExampleWayLimit_Check() {
	along := []photometry.Lux{6, 2.5, 0.8, 3}
	for _, l := range safety.WayLimits()[:2] {
		v := l.Check(along)
		fmt.Printf("%s (%s): %.1f lx of %.1f at point %d, kept: %v\n", l.Name, l.Source, v.Least, l.Least, v.At+1, v.Keeps())
	}
	// Output:
	// escape route, centre line (EN 1838): 0.8 lx of 1.0 at point 3, kept: false
	// open area (EN 1838): 0.8 lx of 0.5 at point 3, kept: true
}

// A blue emitter without diffusion, bright enough to be looked at with care.
func ExampleBlueLight() {
	for _, l := range []photometry.Luminance{630, 50000} {
		fmt.Println(safety.Group(safety.BlueLight(bell(465, 23), l)))
	}
	// Output:
	// RG0 exempt
	// RG1 low risk
}

func ExampleIsSaturatedRed() {
	for _, text := range []string{"rgb(255 60 60)", "orange"} {
		light, err := colour.ParseCSS(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(text, safety.IsSaturatedRed(light))
	}
	// Output:
	// rgb(255 60 60) true
	// orange false
}

func ExampleHighRiskTask() {
	fmt.Println(safety.HighRiskTask(100), safety.HighRiskTask(500))
	// Output: 15 50
}
