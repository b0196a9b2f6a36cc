package server

import (
	"encoding/binary"
	"math"

	"linkboy/colour"
)

// A cells frame is little-endian: u8 kind (1), u8 0, u16 number of cells, u32
// plan revision, u64 frame number, then X, Y, Z of each cell as float32 in
// lumens.
const (
	cellsKind      = 1
	cellsHeadBytes = 16
	cellBytes      = 12
	maxCells       = math.MaxUint16
)

// appendCells appends a cells frame to b. Cells beyond maxCells are left out.
func appendCells(b []byte, revision uint32, frame uint64, cells []colour.XYZ) []byte {
	cells = cells[:min(len(cells), maxCells)]
	b = append(b, cellsKind, 0)
	b = binary.LittleEndian.AppendUint16(b, uint16(len(cells)))
	b = binary.LittleEndian.AppendUint32(b, revision)
	b = binary.LittleEndian.AppendUint64(b, frame)
	for _, c := range cells {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c.X)))
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c.Y)))
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c.Z)))
	}
	return b
}

// sameCells reports whether two cells frames show the same light of the same
// plan; the frame number does not count.
func sameCells(a, b []byte) bool {
	const numberAt = 8
	return len(a) == len(b) && len(a) >= cellsHeadBytes &&
		string(a[:numberAt]) == string(b[:numberAt]) &&
		string(a[cellsHeadBytes:]) == string(b[cellsHeadBytes:])
}
