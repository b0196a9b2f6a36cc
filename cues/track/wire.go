package track

import "math"

// Code gives what a value is on the wire in a slot: 0 to 255, or to 65535 where it is wide.
func (l *Layout) Code(s *Slot, v float32) uint16 {
	v = clamp(v)
	if table := l.Curves[s.Curve].Table; table != nil {
		v = lookup(table, v)
	}
	if s.Wide {
		return wide(v)
	}
	return uint16(narrow(v))
}

// Values gives the values that a slot has a code for on the wire: from the least, up to
// just below where the next code begins. 0 and full are exactly 0 and 1 at their ends.
// Where the curve passes over a code, both are the value at which it does.
func (l *Layout) Values(s *Slot, code uint16) (low, high float32) {
	full := uint16(math.MaxUint8)
	if s.Wide {
		full = math.MaxUint16
	}
	low = l.first(s, code)
	if code >= full {
		return low, 1
	}
	high = math.Nextafter32(l.first(s, code+1), 0)
	return low, max(low, high)
}

// first gives the least value with at least a code; floats of 0 and above are in the
// order of their bits.
func (l *Layout) first(s *Slot, code uint16) float32 {
	low, high := uint32(0), math.Float32bits(1)
	for low < high {
		mid := low + (high-low)/2
		if l.Code(s, math.Float32frombits(mid)) >= code {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return math.Float32frombits(low)
}
