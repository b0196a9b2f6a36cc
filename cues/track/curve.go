package track

import "math"

// CurvePoints is the number of entries that NewCurve makes. With a square-root
// axis the straight lines between them stay within half a 16-bit step of the
// power laws that dimmers use, but for the first few steps above black. An
// s-curve is flat towards full: there they miss its control by up to 210 steps,
// which is 1.3e-4 of the light.
const CurvePoints = 4097

// NewCurve tabulates a dimmer curve: control gives the control value 0..1 for a
// light 0..1. No light is control 0 and full light is control 1 whatever the
// function says, so that off is off and full is full. A function that is the
// identity gives the nil table.
func NewCurve(control func(light float64) float64) Curve {
	table := make([]float32, CurvePoints)
	same := true
	for i := range table {
		u := float64(i) / (CurvePoints - 1)
		light := u * u
		c := control(light)
		same = same && c == light
		table[i] = float32(min(max(c, 0), 1))
	}
	if same {
		return Curve{}
	}
	table[0], table[CurvePoints-1] = 0, 1
	return Curve{Table: table}
}

// Control is the control value for a light, both 0..1; what is outside is taken
// as 0 or 1.
func (c Curve) Control(light float32) float32 {
	if !(light > 0) { // NaN too
		light = 0
	}
	if light > 1 {
		light = 1
	}
	if c.Table == nil {
		return light
	}
	return lookup(c.Table, light)
}

// lookup reads a table of at least two entries at a light within 0..1.
func lookup(table []float32, light float32) float32 {
	last := len(table) - 1
	at := float32(float32(math.Sqrt(float64(light))) * float32(last))
	i := int(at)
	if i >= last {
		return table[last]
	}
	pair := table[i : i+2]
	return pair[0] + float32((pair[1]-pair[0])*(at-float32(i)))
}
