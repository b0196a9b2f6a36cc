package exposure_test

import (
	"fmt"

	"linkboy/colour/exposure"
	"linkboy/colour/photometry"
)

// What a meter asks for at ISO 800, T2.8, 24 frames a second and 180 degrees;
// and what the key of 250 lx allows in slow motion.
func Example() {
	s := exposure.Settings{ISO: 800, Stop: exposure.Engraved(2.8), Seconds: exposure.ShutterSeconds(180, 24)}
	key := exposure.Standard.Lux(s)
	fmt.Printf("%.0f lx, %.2f fc, EV100 %.3f\n", key, key.FootCandles(), s.EV100())

	s.Seconds = exposure.ShutterSeconds(180, 60)
	fmt.Printf("at 60 fps %.0f lx, or open to T%.2f\n", exposure.Standard.Lux(s), exposure.Standard.Stop(250.5, s))
	// Output:
	// 120 lx, 11.15 fc, EV100 5.585
	// at 60 fps 300 lx, or open to T2.58
}

func ExampleMeter_LuxAt() {
	fmt.Printf("%.0f lx, %.0f cd/m2\n", exposure.Standard.LuxAt(5), exposure.Standard.LuminanceAt(5))
	// Output: 80 lx, 4 cd/m2
}

func ExampleMeter_Grey() {
	fmt.Printf("%.1f %%\n", 100*exposure.Standard.Grey())
	// Output: 15.7 %
}

func ExampleShutterAngle() {
	fmt.Printf("1/50 s at 24: %.1f, 1/60 s: %.0f degrees\n", exposure.ShutterAngle(1.0/50, 24), exposure.ShutterAngle(1.0/60, 24))
	// Output: 1/50 s at 24: 172.8, 1/60 s: 144 degrees
}

func ExamplePlaybackSpeed() {
	fmt.Printf("60 on 24 plays at %.0f %%\n", 100*exposure.PlaybackSpeed(60, 24))
	// Output: 60 on 24 plays at 40 %
}

func ExampleTStop() {
	fmt.Printf("T%.2f\n", exposure.TStop(2, 0.75))
	// Output: T2.31
}

func ExampleNDStops() {
	fmt.Printf("%.3f stops, %.1f %%\n", exposure.NDStops(0.9), 100*exposure.NDTransmittance(0.9))
	// Output: 2.990 stops, 12.6 %
}

// The same light under two names.
func ExampleRatioOf() {
	crews, books := exposure.RatioOf(200*photometry.LuxPerFootCandle, 100*photometry.LuxPerFootCandle)
	fmt.Println(crews)
	fmt.Printf("%v, %.2f stops\n", books, books.Stops())
	// Output:
	// 2:1 key:fill
	// 3:1 (key+fill):fill, 1.58 stops
}

func ExampleStops() {
	fmt.Printf("%.2f\n", exposure.Stops(5.0/15))
	// Output: -1.58
}

func ExampleSettings_EV100() {
	s := exposure.Settings{ISO: 800, Stop: exposure.WholeStop(3), Seconds: 1.0 / 48}
	fmt.Printf("EV %.3f, as ISO 100 %.3f\n", s.EV(), s.EV100())
	// Output: EV 8.585, as ISO 100 5.585
}

func ExampleMeter_Luminance() {
	s := exposure.Settings{ISO: 100, Stop: 1, Seconds: 1} // EV 0
	fmt.Printf("%.3f cd/m2, %.1f lx\n", exposure.Standard.Luminance(s), exposure.Standard.Lux(s))
	// Output: 0.125 cd/m2, 2.5 lx
}

func ExampleShutterSeconds() {
	fmt.Printf("%.3f ms, %.3f ms\n", 1000*exposure.ShutterSeconds(180, 24), 1000*exposure.ShutterSeconds(180, 24000.0/1001))
	// Output: 20.833 ms, 20.854 ms
}

func ExampleEngraved() {
	fmt.Printf("%.3f %.3f %.1f\n", exposure.Engraved(2.8), exposure.Engraved(11), exposure.Engraved(1.8))
	// Output: 2.828 11.314 1.8
}

func ExampleSumFill_Fill() {
	r := exposure.SumFill(4)
	fmt.Printf("%v with 120 lx: %.0f lx of fill, %v\n", r, r.Fill(120), r.KeyFill())
	// Output: 4:1 (key+fill):fill with 120 lx: 40 lx of fill, 3:1 key:fill
}

func ExampleStopsOver() {
	fmt.Printf("%.2f\n", exposure.StopsOver(40, 120.8))
	// Output: -1.59
}

func ExampleSurfaceOverGrey() {
	fmt.Printf("%.2f %.2f %.2f\n", exposure.SurfaceOverGrey(exposure.LightSkin), exposure.SurfaceOverGrey(exposure.BrownSkin), exposure.SurfaceOverGrey(exposure.DarkSkin))
	// Output: 1.00 -0.17 -0.85
}
