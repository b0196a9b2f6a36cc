// Package stage is a location as light sees it: what stands there and where the
// cells of the lamps are, as a place of colour/transport, and what each cell
// gives, from the bytes on the wire.
//
// The sources of the place are the cells of the compiled location, in its order, and
// after them those cells again whose beam a look spreads, at other beam angles: the
// light at any angle is a sum of two of them ([Stage.Blend]).
package stage
