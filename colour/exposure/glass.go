package exposure

import "math"

// TStop returns the T-stop of a lens from its f-number and its transmittance,
// over 0 and up to 1: T = f/√τ. f/2 at 75 %: T2.31.
func TStop(f, transmittance float64) float64 { return f / math.Sqrt(transmittance) }

// LossStops returns how many stops glass of a transmittance takes: -log2 τ.
func LossStops(transmittance float64) float64 { return -math.Log2(transmittance) }

// NDTransmittance returns the share of light that a neutral density passes:
// 10^-d [ISO 5-3]. ND 0.3 passes 50 %.
func NDTransmittance(density float64) float64 { return math.Pow(10, -density) }

// NDStops returns the stops that a neutral density takes: d/log10 2. ND 0.9
// takes 2.990, called 3.
func NDStops(density float64) float64 { return density / (math.Ln2 / math.Ln10) }

// NDFor returns the neutral density that takes the given stops.
func NDFor(stops float64) float64 { return stops * (math.Ln2 / math.Ln10) }
