package camera_test

import (
	"fmt"
	"math"
	"strings"

	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// A blue tube as an accent: a meter reads it two stops under the key, and it
// sits a stop under clipping on a white shirt. Worked out independently, from the
// mean of 11 cameras, it has 4.87 stops of excess and 0.98 stop of margin.
func Example() {
	sensor, err := camera.SensorByName("bayer-b")
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := sensor.BalanceAt(3200)
	if err != nil {
		fmt.Println(err)
		return
	}
	var blue spectra.Spectrum // a bell around 465 nm, 23 nm wide at half its height
	for i := range blue {
		d := float64(spectra.FirstNM+i-465) / 23
		blue[i] = math.Exp(-4 * math.Ln2 * d * d)
	}
	excess, channel := view.Excess(blue)
	fmt.Printf("%v runs %.1f stops ahead of the meter\n", channel, excess)

	exposure := camera.Exposure{KeyLux: 120, OverStops: 6}
	fmt.Printf("margin %.1f stop at 30 lx\n", exposure.ClipMargin(30, excess, 0.8))
	fmt.Printf("clips at %.0f lx\n", exposure.MostLux(excess, 0.8))
	// Output:
	// blue runs 4.9 stops ahead of the meter
	// margin 1.0 stop at 30 lx
	// clips at 59 lx
}

// A lamp's emitters are worked out once; then a mix is a few multiplications.
func ExampleView_Prepare() {
	sensor, _ := camera.SensorByName(camera.DefaultSensor)
	view, err := sensor.BalanceAt(5600)
	if err != nil {
		fmt.Println(err)
		return
	}
	lamp := view.Prepare(spectra.Ohno(630, 20), spectra.Ohno(525, 35), spectra.Ohno(465, 25))
	for _, drives := range [][]float64{{1, 0, 0}, {1, 1, 1}, {0, 0, 0.2}} {
		excess, channel := lamp.Mix(drives).Excess()
		fmt.Printf("%v: %s %+.1f\n", drives, channel, excess)
	}
	// Output:
	// [1 0 0]: red +1.7
	// [1 1 1]: blue +0.4
	// [0 0 0.2]: blue +3.8
}

// Two lights that look alike need not look alike to a camera.
func ExampleResponse_Mismatch() {
	sensor, _ := camera.SensorByName("bayer-b")
	white, err := spectra.Blackbody(3200)
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := sensor.Balance(white)
	if err != nil {
		fmt.Println(err)
		return
	}
	amber := spectra.Ohno(592, 17)
	stops, worst := view.Response(amber).Mismatch(view.Response(white))
	fmt.Printf("R %+.1f G %+.1f B %+.1f, worst %.1f\n", stops.R, stops.G, stops.B, worst)
	// Output:
	// R +0.4 G -0.8 B -4.5, worst 4.5
}

// A show's own camera; a mistake in it is told with its place and its mend.
func ExampleReadCSV() {
	_, err := camera.ReadCSV(strings.NewReader("nm,r,g,b\n400,0.02,0.03,0.4\n550,0.4,O.97,0.1\n700,0.1,0.02,0\n"), "own.csv")
	fmt.Println(err)
	// Output:
	// own.csv:3:9: "O.97" in column g: it is no number; write a plain number like 0.25
}
