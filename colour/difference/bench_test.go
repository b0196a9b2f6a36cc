package difference_test

import (
	"testing"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// BenchmarkDifference is held against "OKLab", the cheapest even space there
// is: three cube roots a colour.
func BenchmarkDifference(b *testing.B) {
	white := colour.D65.XYZ(1)
	c := colour.XYZ{X: 0.2, Y: 0.12, Z: 0.05}
	p, q := difference.LabOf(c, white), difference.LabOf(c.Scale(1.1), white)
	eye, err := difference.NewEye(difference.Viewing{White: white, Adapting: 64, Background: 0.2, Surround: difference.Average})
	if err != nil {
		b.Fatal(err)
	}
	seen := eye.See(c)
	for _, f := range []struct {
		name string
		run  func()
	}{
		{"OKLab", func() { c.OKLab() }},
		{"Lab", func() { difference.LabOf(c, white) }},
		{"Luv", func() { difference.LuvOf(c, white) }},
		{"Distance", func() { p.Distance(q) }},
		{"DE2000", func() { difference.DE2000(p, q) }},
		{"CAM16", func() { eye.See(c) }},
		{"CAM16-UCS", func() { eye.See(c).UCS() }},
		{"CAM16-back", func() { eye.XYZ(seen) }},
	} {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.run()
			}
		})
	}
}

func TestNoAllocations(t *testing.T) {
	white := colour.D65.XYZ(1)
	eye, err := difference.NewEye(difference.Viewing{White: white, Adapting: 64, Background: 0.2, Surround: difference.Average})
	if err != nil {
		t.Fatal(err)
	}
	work := func() {
		p := difference.LabOf(white.Scale(0.3), white)
		difference.DE2000(p, difference.Lab{L: 50, A: 3, B: 4})
		difference.LuvOf(white.Scale(0.3), white)
		seen := eye.See(white.Scale(0.3))
		difference.UCSDistance(seen.UCS(), difference.UCS{})
		eye.XYZ(seen)
	}
	if n := testing.AllocsPerRun(100, work); n != 0 {
		t.Fatalf("%v allocations", n)
	}
}
