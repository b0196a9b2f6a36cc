package picture

import "math"

// Lights of LEDs lie outside what a picture can show: a channel of it would be below
// 0, and cut off there it leaves hard edges in soft light. compress draws such colours in:
// the distance of each channel from the greatest, as a share of that, is bent so that
// what is far comes to 1 and what is near stays (the parametric curve of the ACES 1.3
// Reference Gamut Compression, with limits of our own as channels here are Rec.709).
const (
	bendFrom  = 0.8 // distances under it stay
	bendLimit = 1.6 // becomes 1
	bendPower = 1.2
)

// bendScale makes bendLimit come to 1.
var bendScale = (bendLimit - bendFrom) / math.Pow(math.Pow((1-bendFrom)/(bendLimit-bendFrom), -bendPower)-1, 1/bendPower)

// bent is the table of distances from bendFrom to twice bendLimit: for three powers of a
// pixel would cost more than all the rest.
var bent = func() (table [bentSize + 1]float32) {
	for i := range table {
		x := (2*bendLimit - bendFrom) * float64(i) / bentSize / bendScale
		table[i] = float32(bendFrom + bendScale*x/math.Pow(1+math.Pow(x, bendPower), 1/bendPower))
	}
	return table
}()

const bentSize = 512

// compress draws a colour in. Black and below stays as it is.
func compress(v *[3]float32) {
	most := max(v[0], v[1], v[2])
	if !(most > 0) {
		return
	}
	for c := range v {
		if d := (most - v[c]) / most; d > bendFrom {
			v[c] = most * (1 - bentTo(d))
		}
	}
}

func bentTo(d float32) float32 {
	x := min((d-bendFrom)/(2*bendLimit-bendFrom), 1) * bentSize
	i := min(int(x), bentSize-1)
	return bent[i] + (x-float32(i))*(bent[i+1]-bent[i])
}
