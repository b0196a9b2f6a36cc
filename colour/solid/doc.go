// Package solid is the geometry of a place: surfaces, and where rays meet them.
//
// Lengths are in metres, in the right-handed coordinates of a location: x right
// and y up its plan, z up from the ground. A [Surface] is one side of something:
// its normal points to where light can reach it. Every surface has coordinates
// (u, v) in 0..1 by 0..1, so that what is known at points of it can be kept in
// a grid. A [Scene] is a set of surfaces that rays are cast into; it is immutable
// and safe for concurrent use.
package solid
