package peer

import "time"

const (
	// LineTime is how long a DMX512 line takes for 512 slots: 92 us break, 12 us
	// mark and 513 times 44 us (ANSI E1.11). Art-Net and E1.31 let a universe go no
	// faster, which is 44 Hz.
	LineTime = (92 + 12 + 44*513) * time.Microsecond
	// Ahead is how far a universe may run ahead of that for a moment: the first
	// frame of a cue comes between two others, and frames after a late one come
	// close.
	Ahead = 2 * LineTime
)
