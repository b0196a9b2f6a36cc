package transport

import "fmt"

// plane is a number for each texel, as much as a source does to it in one channel.
type plane []int16

// How the numbers of a plane are foretold.
const (
	besides   = 0 // from the texels beside
	alongside = 1 // from those too, and from the plane of the source before
	kinds     = 2
)

// foretell calls each for every texel in order with what is foretold of its number, and
// keeps the answer in p. before is the plane of the source before, or nil for what is
// foretold without one. Encoder and decoder foretell the same, as they know the same.
//
// Of three numbers to the left, above and above to the left the middle one of left, above
// and left + above - corner is taken: the plane through the three, but on neither side
// of both neighbours, so that the edge of a shadow costs no more than it is (the median
// edge detector of ITU-T T.87, A.4.1).
func (a *Atlas) foretell(p, before plane, each func(t int, foretold int16) int16) {
	of := func(t int) int16 {
		if before == nil {
			return p[t]
		}
		return p[t] - before[t]
	}
	for _, g := range a.Grids {
		t := g.First
		for j := range g.Nv {
			for i := range g.Nu {
				guess := int16(0)
				switch {
				case i > 0 && j > 0:
					guess = median(of(t-1), of(t-g.Nu), of(t-g.Nu-1))
				case i > 0, t > 0 && j == 0:
					guess = of(t - 1)
				case j > 0:
					guess = of(t - g.Nu)
				}
				if before != nil {
					guess += before[t]
				}
				p[t] = each(t, guess)
				t++
			}
		}
	}
}

func median(left, above, corner int16) int16 {
	switch {
	case corner >= max(left, above):
		return min(left, above)
	case corner <= min(left, above):
		return max(left, above)
	}
	return left + above - corner
}

// appendPlane appends what the numbers of p differ from what is foretold, modulo 256,
// after the kind that foretells them better.
func (a *Atlas) appendPlane(b []byte, p, before plane) []byte {
	best := len(b)
	b = a.appendKind(append(b, besides), p, nil)
	if before == nil {
		return b
	}
	other := len(b)
	b = a.appendKind(append(b, alongside), p, before)
	if far(b[other+1:]) < far(b[best+1:other]) {
		copy(b[best:], b[other:])
	}
	return b[:other]
}

func (a *Atlas) appendKind(b []byte, p, before plane) []byte {
	a.foretell(p, before, func(t int, foretold int16) int16 {
		b = append(b, byte(p[t]-foretold))
		return p[t]
	})
	return b
}

// far is how far bytes are from 0 together.
func far(b []byte) (sum int) {
	for _, d := range b {
		sum += int(max(int8(d), -int8(d)))
	}
	return sum
}

// parsePlane reads what appendPlane wrote into p: of bytes, as green's codes are, or of
// signed ones.
func (a *Atlas) parsePlane(b []byte, p, before plane, signed bool) error {
	kind := b[0]
	switch {
	case kind == besides:
		before = nil
	case kind >= kinds || before == nil:
		return fmt.Errorf("%w: a plane is foretold by %d", ErrEncoded, kind)
	}
	b = b[1:]
	a.foretell(p, before, func(t int, foretold int16) int16 {
		if signed {
			return int16(int8(byte(foretold) + b[t]))
		}
		return int16(byte(foretold) + b[t])
	})
	return nil
}
