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
//	version    uint16, 2
//	channels   uint16, 1 or 3
//	surfaces   uint32
//	sources    uint32
//	texels     uint32
//	grids      for each surface: nu, nv as uint16
//	hidden     a bit for each texel, the lowest first, to whole bytes
//	planes     for each channel and source: top as float32, then a byte for each texel
//
// A byte b above 0 is top·2^((b-255)/steps), and 0 is dark: 18 stops in steps of a
// fourteenth, which dithering spreads, so that light that falls off shows no bands.
// top is the same in all channels of a source, and so is the dithering; planes of green
// and blue hold what their bytes differ from red's, modulo 256, which is 0 or little where
// light comes straight, and packs to half.
const (
	magic         = "lbylight"
	codeVersion   = 2
	steps         = 14
	headerSize    = len(magic) + 2 + 2 + 4 + 4 + 4
	surfacesMost  = 1 << 16
	sourcesMost   = 1 << 14
	texelsMost    = 1 << 20
	planeBytesMax = 1 << 30
)

// ErrEncoded is what is no map, or one of another version.
var ErrEncoded = errors.New("this is no light map")

// AppendBinary appends the map in its encoded form to b. Light keeps about 1 %.
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
	size := 4 + m.Texels
	b = slices.Grow(b, m.Channels*m.Sources*size)
	first := len(b)
	tops := m.tops()
	for c := range m.Channels {
		for k, top := range tops {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(top))
			dither := newChance(k)
			red := b[first+k*size+4:] // of this source; written before the others
			for t := range m.Texels {
				v := code(m.row(c, t)[k], top, dither.next())
				if c > 0 {
					v -= red[t]
				}
				b = append(b, v)
			}
		}
	}
	return b
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

// code is the byte of a value, rounded up or down by chance so that the mean of
// many is right.
func code(v, top float32, chance float64) byte {
	if !(v > 0) || !(top > 0) {
		return 0
	}
	x := 255 + steps*math.Log2(float64(v)/float64(top)) + chance
	return byte(min(max(math.Floor(x), 0), 255))
}

// Parse reads an encoded map. It keeps nothing of b. The error wraps ErrEncoded.
func Parse(b []byte) (*Map, error) {
	m, b, err := parseHeader(b)
	if err != nil {
		return nil, err
	}
	size := m.Channels * m.Sources * (4 + m.Texels)
	if size > planeBytesMax || len(b) != (m.Texels+7)/8+size {
		return nil, fmt.Errorf("%w: it has %d bytes of light, not %d", ErrEncoded, len(b), (m.Texels+7)/8+size)
	}
	m.Hidden = make([]bool, m.Texels)
	for i := range m.Hidden {
		m.Hidden[i] = b[i/8]>>(i%8)&1 == 1
	}
	planes := b[(m.Texels+7)/8:]
	for c := range m.Lux {
		if c >= m.Channels {
			m.Lux[c] = m.Lux[0]
			continue
		}
		m.Lux[c] = make([]float32, m.Texels*m.Sources)
		for k := range m.Sources {
			red := planes[k*(4+m.Texels):][:4+m.Texels]
			if err := m.parsePlane(c, k, planes[(c*m.Sources+k)*(4+m.Texels):][:4+m.Texels], red); err != nil {
				return nil, err
			}
		}
	}
	return m, nil
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

// parsePlane reads what one source does; red is its plane of the first channel.
func (m *Map) parsePlane(channel, source int, b, red []byte) error {
	top := math.Float32frombits(binary.LittleEndian.Uint32(b))
	if !(top >= 0) || math.IsInf(float64(top), 1) {
		return fmt.Errorf("%w: the most light of source %d is %v", ErrEncoded, source, top)
	}
	var value [256]float32
	for i := 1; i < len(value); i++ {
		value[i] = top * float32(math.Exp2(float64(i-255)/steps))
	}
	for t, c := range b[4:] {
		if channel > 0 {
			c += red[4+t]
		}
		m.row(channel, t)[source] = value[c]
	}
	return nil
}
