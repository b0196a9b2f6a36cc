package camera_test

import (
	"testing"

	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// lampEmitters is an RGB, lime and white lamp.
func lampEmitters() []spectra.Spectrum {
	return []spectra.Spectrum{
		gaussian(630, 18), gaussian(525, 33), gaussian(465, 23), gaussian(555, 105),
		gaussian(450, 20).Add(gaussian(570, 130)),
	}
}

var drives = [8]float64{0.4, 0.2, 0.1, 0.7, 0.5}

// sink and seen keep the compiler from dropping what is measured.
var (
	sink float64
	seen camera.Response
)

// BenchmarkExcessOfMix is the excess of one mix of a five-emitter lamp, in
// three ways: the mixed spectrum summed against the sensor's curves as in the
// textbook, through a view, and from prepared responses.
func BenchmarkExcessOfMix(b *testing.B) {
	emitters := lampEmitters()
	s := sensor(b, "bayer-a")
	v := balanced(b, s, blackbody(b, 3200))
	p := v.Prepare(emitters...)
	mix := func() spectra.Spectrum {
		var mixed spectra.Spectrum
		for i, e := range emitters {
			mixed = mixed.Add(e.Scale(drives[i]))
		}
		return mixed
	}
	b.Run("textbook", func(b *testing.B) {
		white := blackbody(b, 3200)
		b.ReportAllocs()
		for b.Loop() {
			light := mix()
			var raw, gain [3]float64
			for c, curve := range []*spectra.Spectrum{&s.R, &s.G, &s.B} {
				for i, sensitivity := range curve {
					raw[c] += light[i] * sensitivity
					gain[c] += white[i] * sensitivity
				}
			}
			sink += max(raw[0]/gain[0], raw[1]/gain[1], raw[2]/gain[2]) * white.XYZ().Y / light.XYZ().Y
		}
	})
	b.Run("view", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			x, _ := v.Excess(mix())
			sink += x
		}
	})
	b.Run("prepared", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			x, _ := p.Mix(drives[:]).Excess()
			sink += x
		}
	})
}

// BenchmarkSee is the response of a mix alone: the sum over the spectrum
// against the sum over the emitters.
func BenchmarkSee(b *testing.B) {
	v := balanced(b, sensor(b, "bayer-a"), blackbody(b, 3200))
	p := v.Prepare(lampEmitters()...)
	light := gaussian(465, 23)
	b.Run("471 samples", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			seen = v.Response(light)
		}
	})
	b.Run("prepared mix of 5", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			seen = p.Mix(drives[:])
		}
	})
}

// BenchmarkBalance is what a change of balance costs: once a show.
func BenchmarkBalance(b *testing.B) {
	s := sensor(b, "bayer-a")
	white := blackbody(b, 3200)
	b.ReportAllocs()
	for b.Loop() {
		v, err := s.Balance(white)
		if err != nil {
			b.Fatal(err)
		}
		sink += float64(len(v.Name()))
	}
}

// BenchmarkReadCSV reads a sensor of 471 rows.
func BenchmarkReadCSV(b *testing.B) {
	text := string(sensor(b, "bayer-a").AppendCSV(nil))
	b.ReportAllocs()
	for b.Loop() {
		s, err := read(text)
		if err != nil {
			b.Fatal(err)
		}
		sink += s.B[100]
	}
}
