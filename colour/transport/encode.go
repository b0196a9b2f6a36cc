package transport

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"
)

// The form in which maps are kept in files and sent to pages: little-endian,
//
//	magic      8 bytes "lbylight"
//	version    uint16, 3
//	channels   uint16, 1 or 3
//	surfaces   uint32
//	sources    uint32
//	texels     uint32
//	grids      for each surface: nu, nv as uint16
//	hidden     a bit for each texel, the lowest first, to whole bytes
//	tops       for each source: its most light in any channel, as float32
//	planes     for each source in green, then in red and in blue where there are three
//	           channels: a kind, then a byte for each texel
//
// The code b of a texel, 0..255, is the light top·(b/255)³: a step of it is 1.2 % of the
// light at the top, 2.4 % three stops below and 5 % six stops below, where a texel gets
// most of its light from other sources. Green is off by at most half a step, red and blue
// by a whole one; so is a sum of any sources, and by far less where there are many.
//
// Planes of red and blue have half the difference of their codes from green's. All
// planes are written as what they differ, modulo 256, from what their neighbours
// foretell (predict.go): little, which packs to a seventh.
const (
	magic         = "lbylight"
	codeVersion   = 3
	codeMost      = 255
	tintStep      = 2 // of codes of red and blue against green
	headerSize    = len(magic) + 2 + 2 + 4 + 4 + 4
	surfacesMost  = 1 << 16
	sourcesMost   = 1 << 14
	texelsMost    = 1 << 20
	planeBytesMax = 1 << 30
)

// written is the channels in the order of their planes: green first, which is most of
// what is seen.
var written = [3]int{1, 0, 2}

// ErrEncoded is what is no map, or one of another version.
var ErrEncoded = errors.New("this is no light map")

// AppendBinary appends the map in its encoded form to b.
func (m *Map) AppendBinary(b []byte) ([]byte, error) {
	if len(m.Grids) > surfacesMost || m.Sources > sourcesMost || m.Texels > texelsMost {
		return b, fmt.Errorf("%w: %d surfaces, %d sources and %d texels are more than it can hold", ErrEncoded, len(m.Grids), m.Sources, m.Texels)
	}
	b = append(b, magic...)
	b = binary.LittleEndian.AppendUint16(b, codeVersion)
	b = binary.LittleEndian.AppendUint16(b, uint16(m.Channels))
	b = binary.LittleEndian.AppendUint32(b, uint32(len(m.Grids)))
	b = binary.LittleEndian.AppendUint32(b, uint32(m.Sources))
	b = binary.LittleEndian.AppendUint32(b, uint32(m.Texels))
	for _, g := range m.Grids {
		b = binary.LittleEndian.AppendUint16(b, uint16(g.Nu))
		b = binary.LittleEndian.AppendUint16(b, uint16(g.Nv))
	}
	b = appendBits(b, m.Hidden)
	return m.appendPlanes(b), nil
}

func appendBits(b []byte, bits []bool) []byte {
	at := len(b)
	b = append(b, make([]byte, (len(bits)+7)/8)...)
	for i, set := range bits {
		if set {
			b[at+i/8] |= 1 << (i % 8)
		}
	}
	return b
}

// appendPlanes appends what every source does to every texel, channel by channel.
func (m *Map) appendPlanes(b []byte) []byte {
	b = slices.Grow(b, m.Sources*4+(m.Channels+1)*m.Sources*(1+m.Texels))
	tops := m.tops()
	for _, top := range tops {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(top))
	}
	for _, c := range written[:m.Channels] {
		var before plane
		for k, top := range tops {
			p := make(plane, m.Texels)
			for t := range p {
				p[t] = m.code(c, t, k, top)
			}
			b = m.appendPlane(b, p, before)
			before = p
		}
	}
	return b
}

// code is the number of a source and texel in the plane of a channel.
func (m *Map) code(channel, texel, source int, top float32) int16 {
	green := math.Round(codeOf(m.row(written[0], texel)[source], top))
	if channel == written[0] {
		return int16(green)
	}
	off := math.Round((codeOf(m.row(channel, texel)[source], top) - green) / tintStep)
	return int16(min(max(off, math.MinInt8), math.MaxInt8))
}

// tops are the most light of each source, in any channel.
func (m *Map) tops() []float32 {
	tops := make([]float32, m.Sources)
	for c := range m.Channels {
		for t := range m.Texels {
			for k, v := range m.row(c, t) {
				tops[k] = max(tops[k], v)
			}
		}
	}
	return tops
}

// codeOf is the code of light, not yet rounded.
func codeOf(v, top float32) float64 {
	if !(v > 0) || !(top > 0) {
		return 0
	}
	return codeMost * math.Cbrt(float64(v)/float64(top))
}

// Parse reads an encoded map. It keeps nothing of b. The error wraps ErrEncoded.
func Parse(b []byte) (*Map, error) {
	m, b, err := parseHeader(b)
	if err != nil {
		return nil, err
	}
	size := m.Sources * (4 + m.Channels*(1+m.Texels))
	if size > planeBytesMax || len(b) != (m.Texels+7)/8+size {
		return nil, fmt.Errorf("%w: it has %d bytes of light, not %d", ErrEncoded, len(b), (m.Texels+7)/8+size)
	}
	m.Hidden = make([]bool, m.Texels)
	for i := range m.Hidden {
		m.Hidden[i] = b[i/8]>>(i%8)&1 == 1
	}
	b = b[(m.Texels+7)/8:]
	tops := make([]float32, m.Sources)
	for k := range tops {
		tops[k] = math.Float32frombits(binary.LittleEndian.Uint32(b[4*k:]))
		if !(tops[k] >= 0) || math.IsInf(float64(tops[k]), 1) {
			return nil, fmt.Errorf("%w: the most light of source %d is %v", ErrEncoded, k, tops[k])
		}
	}
	return m, m.parsePlanes(b[4*m.Sources:], tops)
}

func parseHeader(b []byte) (*Map, []byte, error) {
	if len(b) < headerSize || string(b[:len(magic)]) != magic {
		return nil, nil, ErrEncoded
	}
	head := b[len(magic):headerSize]
	if v := binary.LittleEndian.Uint16(head); v != codeVersion {
		return nil, nil, fmt.Errorf("%w of version %d, but of %d", ErrEncoded, codeVersion, v)
	}
	m := &Map{Channels: int(binary.LittleEndian.Uint16(head[2:])), Sources: int(binary.LittleEndian.Uint32(head[8:]))}
	surfaces, texels := int(binary.LittleEndian.Uint32(head[4:])), int(binary.LittleEndian.Uint32(head[12:]))
	b = b[headerSize:]
	if m.Channels != 1 && m.Channels != 3 || surfaces > surfacesMost || m.Sources > sourcesMost || texels > texelsMost || len(b) < 4*surfaces {
		return nil, nil, fmt.Errorf("%w: %d channels, %d surfaces, %d sources, %d texels", ErrEncoded, m.Channels, surfaces, m.Sources, texels)
	}
	for i := range surfaces {
		g := Grid{First: m.Texels, Nu: int(binary.LittleEndian.Uint16(b[4*i:])), Nv: int(binary.LittleEndian.Uint16(b[4*i+2:]))}
		m.Grids = append(m.Grids, g)
		m.Texels += g.texels()
		if g.texels() == 0 || m.Texels > texels {
			break
		}
	}
	if m.Texels != texels || len(m.Grids) != surfaces {
		return nil, nil, fmt.Errorf("%w: its grids have %d texels, not %d", ErrEncoded, m.Texels, texels)
	}
	return m, b[4*surfaces:], nil
}

// parsePlanes reads what every source does.
func (m *Map) parsePlanes(b []byte, tops []float32) error {
	var share [codeMost + 1]float32
	for i := range share {
		x := float32(i) / codeMost
		share[i] = x * x * x
	}
	green := make([]uint8, m.Texels*m.Sources) // codes, as rows of the map
	for _, c := range written[:m.Channels] {
		lux := make([]float32, m.Texels*m.Sources)
		m.Lux[c] = lux
		var before, p plane = nil, make(plane, m.Texels)
		for k, top := range tops {
			if err := m.parsePlane(b[:1+m.Texels], p, before, c != written[0]); err != nil {
				return fmt.Errorf("%w of source %d", err, k)
			}
			b = b[1+m.Texels:]
			for t, v := range p {
				at := t*m.Sources + k
				if c == written[0] {
					green[at] = uint8(v)
				} else {
					v = min(max(int16(green[at])+tintStep*v, 0), codeMost)
				}
				lux[at] = top * share[v]
			}
			if before == nil {
				before = make(plane, m.Texels)
			}
			before, p = p, before
		}
	}
	if m.Channels == 1 {
		m.Lux[0], m.Lux[2] = m.Lux[written[0]], m.Lux[written[0]]
	}
	return nil
}
