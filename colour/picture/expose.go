package picture

import (
	"linkboy/colour/camera"
	"linkboy/colour/transport"
)

// Light is the light of a moment: what each channel of a camera gets on every
// texel, and from every source.
type Light struct {
	Texels [3][]float32 // in lux of the balance white
	Cells  [][3]float32 // of each source, in lumens of the balance white
	single []float32    // one channel of Cells
}

// NewLight makes room for the light of a map.
func NewLight(m *transport.Map) *Light {
	l := &Light{Cells: make([][3]float32, m.Sources), single: make([]float32, m.Sources)}
	for c := range l.Texels {
		l.Texels[c] = make([]float32, m.Texels)
	}
	return l
}

// Set sums the map for sources that the camera sees so. No allocation.
func (l *Light) Set(m *transport.Map, cells []camera.Response) {
	for k, r := range cells[:m.Sources] {
		l.Cells[k] = [3]float32{float32(r.R), float32(r.G), float32(r.B)}
	}
	for c := range l.Texels {
		for k := range l.Cells {
			l.single[k] = l.Cells[k][c]
		}
		m.Sum(c, l.single, l.Texels[c])
	}
}

// Frame is linear camera values, red, green and blue of each pixel, rows from the top.
type Frame struct {
	Width, Height int
	Values        []float32
	air           *airLight // of a shot in haze
}

// NewFrame makes room for the frames of this shot; one in haze needs its own.
func (s *Shot) NewFrame() *Frame {
	f := &Frame{Width: s.Width, Height: s.Height, Values: make([]float32, 3*s.Width*s.Height)}
	if s.air != nil {
		f.air = s.air.newLight()
	}
	return f
}

// Expose fills f with what the camera sees in a light, exposed for a key of so many
// lux: a grey card of 18 % under it gets 0.18. No allocation.
func (s *Shot) Expose(l *Light, key float64, f *Frame) {
	k := float32(1 / (key * float64(len(samples))))
	if s.air != nil {
		s.air.sum(l, f.air)
	}
	for p := range s.Width * s.Height {
		var sum [3]float32
		for i := range samples {
			v := s.value(&s.samples[p*len(samples)+i], l)
			for c := range sum {
				sum[c] += v[c]
			}
		}
		if s.air != nil {
			air := f.air.at((float32(p%s.Width)+0.5)/float32(s.Width), (float32(p/s.Width)+0.5)/float32(s.Height))
			for c := range sum {
				sum[c] += float32(len(samples)) * air[c]
			}
		}
		for c := range sum {
			f.Values[3*p+c] = k * sum[c]
		}
	}
}

// value is what a sample gives under a key of 1 lx, through the air.
func (s *Shot) value(at *sample, l *Light) [3]float32 {
	v := s.bare(at, l)
	if s.air != nil {
		clear := s.air.clear(at.far)
		for c := range v {
			v[c] *= clear
		}
	}
	return v
}

// bare is what a sample gives in clear air.
func (s *Shot) bare(at *sample, l *Light) (v [3]float32) {
	switch {
	case at.surface == night:
		return v
	case at.surface < 0:
		for k, source := range at.tap.Texel {
			for c := range v {
				v[c] += at.tap.Weight[k] * l.Cells[source][c]
			}
		}
		return v
	}
	finish := &s.finish[at.surface]
	for c := range v {
		lux := float32(0)
		for k, t := range at.tap.Texel {
			lux += at.tap.Weight[k] * l.Texels[c][t]
		}
		v[c] = finish[c] * lux
	}
	return v
}
