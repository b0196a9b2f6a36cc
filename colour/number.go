package colour

import "strconv"

// number writes x for people and show files: plain decimals, with the noise
// of binary arithmetic (92.00000000000001) rounded off.
func number(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64) // reads what was just written
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// percent writes a share as a percentage.
func percent(share float64) string { return number(share*100) + "%" }
