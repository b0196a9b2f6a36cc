package flicker_test

import (
	"fmt"

	"linkboy/colour/exposure"
	"linkboy/colour/flicker"
)

// A set with mains lamps at 50 Hz, shot at 24 frames a second.
func ExampleMains_NearestSafeAngle() {
	mains := flicker.Mains(50)
	angle, _ := mains.NearestSafeAngle(180, 24)
	fmt.Printf("all: %.1f\n", mains.SafeAngles(24))
	fmt.Printf("nearest to 180: %.1f\n", angle)
	_, ok := mains.NearestSafeAngle(180, 120)
	fmt.Println("any at 120 fps:", ok)
	// Output:
	// all: [86.4 172.8 259.2 345.6]
	// nearest to 180: 172.8
	// any at 120 fps: false
}

func ExampleBeat() {
	fmt.Printf("24: %.2f Hz, 23.976: %.2f Hz\n", flicker.Beat(120, 24), flicker.Beat(120, 24000.0/1001))
	// Output: 24: 0.00 Hz, 23.976: 0.12 Hz
}

func ExampleSine_Ripple() {
	light := flicker.Sine{Hz: flicker.Mains(50).LightHz(), Depth: 1}
	fmt.Printf("1/48 s: %.1f %%, 1/240 s: %.0f %%\n", 100*light.Ripple(1.0/48), 100*light.Ripple(1.0/240))
	// Output: 1/48 s: 4.0 %, 1/240 s: 74 %
}

// A lamp dimmed to 10 % at 1 kHz, in slow motion.
func ExamplePWM_SwingStops() {
	lamp := flicker.PWM{Hz: 1000, Duty: 0.1}
	fmt.Printf("1/48 s: %.2f stop, 1/240 s: %.2f\n", lamp.SwingStops(1.0/48), lamp.SwingStops(1.0/240))
	// Output: 1/48 s: 0.07 stop, 1/240 s: 0.32
}

func ExampleBars() {
	fmt.Println(flicker.Bars(1000, 0.016))
	// Output: 16
}

func ExampleShot_SplitShare() {
	for _, readout := range []float64{0, 0.015, flicker.Readout24} {
		s := flicker.Shot{FPS: 24, Seconds: exposure.ShutterSeconds(180, 24), Readout: readout}
		fmt.Printf("%.0f %% split, %.1f ms clean\n", 100*s.SplitShare(), 1000*s.CleanWindow())
	}
	// Output:
	// 50 % split, 20.8 ms clean
	// 86 % split, 5.8 ms clean
	// 100 % split, 0.0 ms clean
}
