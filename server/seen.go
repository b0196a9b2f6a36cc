package server

import (
	"encoding/binary"
	"math"
	"time"

	"github.com/gorilla/websocket"

	"linkboy/colour/camera"
)

// A seen frame is little-endian: u8 kind (2), u8 0, u16 number of cells, u32 plan
// revision, u64 frame number, then for each cell what it gives the red, green and blue
// of the camera, in lumens of the balance white, as u16: 0 is none, n is
// 2^((n - 32768)/1024), to a 3000th.
const (
	seenKind      = 2
	seenCellBytes = 6
	seenOne       = 32768 // 1 lm
	seenSteps     = 1024  // to a stop
)

// seenGap is the least time between two seen frames: 33 a second, so that a fade flows.
const seenGap = 30 * time.Millisecond

// appendSeen appends a seen frame to b. Cells beyond maxCells are left out.
func appendSeen(b []byte, revision uint32, frame uint64, cells []camera.RGB) []byte {
	cells = cells[:min(len(cells), maxCells)]
	b = append(b, seenKind, 0)
	b = binary.LittleEndian.AppendUint16(b, uint16(len(cells)))
	b = binary.LittleEndian.AppendUint32(b, revision)
	b = binary.LittleEndian.AppendUint64(b, frame)
	for _, c := range cells {
		b = binary.LittleEndian.AppendUint16(b, seenCode(c.R))
		b = binary.LittleEndian.AppendUint16(b, seenCode(c.G))
		b = binary.LittleEndian.AppendUint16(b, seenCode(c.B))
	}
	return b
}

func seenCode(lumens float64) uint16 {
	if !(lumens > 0) {
		return 0
	}
	return uint16(math.Round(min(max(seenOne+seenSteps*math.Log2(lumens), 1), math.MaxUint16)))
}

// seenPusher pushes what the camera sees of the cells. One goroutine owns it.
type seenPusher struct {
	s     *Server
	cells []camera.RGB
	spare []byte // encoded, to compare with last
	last  []byte // as last pushed; nil for a newcomer
	light uint64 // version of the light in last
}

// push pushes the cells when they have changed. It leaves out a moment in which the
// plan changes: the cells may be those of either plan.
func (p *seenPusher) push() {
	if p.s.hub.count() == 0 {
		return
	}
	light := p.s.director.LightVersion() // before the cells: what comes in between is pushed next time
	if p.last != nil && light == p.light {
		return
	}
	st := p.s.director.State()
	p.cells = p.s.director.Seen(p.cells)
	if p.s.director.State().Revision != st.Revision {
		return
	}
	p.light = light
	p.spare = appendSeen(p.spare[:0], st.Revision, st.Output.Frames, p.cells)
	if sameCells(p.spare, p.last) {
		return
	}
	p.spare, p.last = p.last, p.spare
	m := p.s.pushes.get(websocket.BinaryMessage)
	m.data = append(m.data, p.last...)
	p.s.hub.publish(slotSeen, m)
}
