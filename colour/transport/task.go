package transport

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"linkboy/colour/solid"
)

// Task is a computation to be done elsewhere: a place, and how much work to do.
// Of the options only Texels, Rays and Bounces are part of it.
type Task struct {
	Place   *Place
	Options Options
}

// The form in which tasks are sent and told apart: little-endian,
//
//	magic      8 bytes "lbyplace"
//	version    uint16 of this form
//	algorithm  uint16
//	texels     uint32, rays uint32, bounces uint32
//	pieces     uint32
//	sources    uint32
//	for each piece   shape uint8, other int32, red, green, blue as float32,
//	                 at, then u and v of a flat one, u and radius of a tube, the radius of a ball
//	for each source  kind uint8, centre, along, across, then, but for what shines all
//	                 round, facing, for optics peak, power, shape as float32, and wide and
//	                 high of its mask as uint16, 0 for none, with its right and up, the
//	                 tangents as float32 and its bytes
//
// Lengths and directions are in whole thousand-millionths of a metre as int64, so
// that rounding, which differs from one kind of processor to another, seldom makes
// another task of the same place.
const (
	taskMagic   = "lbyplace"
	taskVersion = 2
	// algorithm is raised when Compute comes to another light for the same task, and when
	// a map is encoded in another way: what is kept by the old key is then not found.
	algorithm   = 3
	taskHeader  = len(taskMagic) + 2 + 2 + 5*4
	optionsMost = 1 << 24
	kindRound   = 0
	kindLambert = 1
	kindOptics  = 2
	lengthBytes = 8
)

// ErrTask is what is no task, or one of another version, or cannot be written as one.
var ErrTask = errors.New("this is no place to compute light in")

// Key tells encoded tasks apart: 32 hexadecimal digits of their SHA-256. The same
// place, options and algorithm have the same key.
func Key(task []byte) string {
	sum := sha256.Sum256(task)
	return hex.EncodeToString(sum[:16])
}

// AppendBinary appends the task in its encoded form to b. The error is that of a
// place which Compute refuses, or ErrTask for a beam that has no encoded form.
func (t Task) AppendBinary(b []byte) ([]byte, error) {
	p, o := t.Place, t.Options.complete()
	if err := p.check(); err != nil {
		return b, err
	}
	if len(p.Pieces) > surfacesMost || len(p.Sources) > sourcesMost || o.Texels > optionsMost || o.Rays > optionsMost || o.Bounces > optionsMost {
		return b, fmt.Errorf("%w: %d pieces, %d sources, %d texels, %d rays or %d bounces are more than it can hold", ErrTask, len(p.Pieces), len(p.Sources), o.Texels, o.Rays, o.Bounces)
	}
	w := writer{b: append(b, taskMagic...)}
	w.b = binary.LittleEndian.AppendUint16(w.b, taskVersion)
	w.b = binary.LittleEndian.AppendUint16(w.b, algorithm)
	for _, n := range []int{o.Texels, o.Rays, o.Bounces, len(p.Pieces), len(p.Sources)} {
		w.b = binary.LittleEndian.AppendUint32(w.b, uint32(n))
	}
	for i := range p.Pieces {
		w.piece(&p.Pieces[i])
	}
	for i := range p.Sources {
		w.source(&p.Sources[i])
	}
	if w.err != nil {
		return b, w.err
	}
	return w.b, nil
}

// ParseTask reads an encoded task. It keeps nothing of b. The error wraps ErrTask.
func ParseTask(b []byte) (Task, error) {
	if len(b) < taskHeader || string(b[:len(taskMagic)]) != taskMagic {
		return Task{}, ErrTask
	}
	r := reader{b: b[len(taskMagic):]}
	if v, a := r.uint16(), r.uint16(); v != taskVersion || a != algorithm {
		return Task{}, fmt.Errorf("%w: it is of version %d.%d, not %d.%d", ErrTask, v, a, taskVersion, algorithm)
	}
	t := Task{Place: &Place{}, Options: Options{Texels: r.count(optionsMost), Rays: r.count(optionsMost), Bounces: r.count(optionsMost)}}
	pieces, sources := r.count(surfacesMost), r.count(sourcesMost)
	for range pieces {
		if r.err != nil {
			break
		}
		t.Place.Pieces = append(t.Place.Pieces, r.piece(pieces))
	}
	for range sources {
		if r.err != nil {
			break
		}
		t.Place.Sources = append(t.Place.Sources, r.source())
	}
	if r.err == nil && len(r.b) > 0 {
		r.fail("%d bytes follow it", len(r.b))
	}
	if r.err == nil && (t.Options.Texels == 0 || t.Options.Rays == 0 || t.Options.Bounces == 0) {
		r.fail("it asks for no texels, rays or bounces")
	}
	if r.err == nil {
		if err := t.Place.check(); err != nil {
			r.fail("%w", err)
		}
	}
	if r.err != nil {
		return Task{}, r.err
	}
	return t, nil
}

// piece reads one of so many pieces.
func (r *reader) piece(pieces int) Piece {
	f := solid.Form{Shape: solid.Shape(r.uint8())}
	p := Piece{Other: int(int32(r.uint32()))}
	if p.Other < -1 || p.Other >= pieces {
		r.fail("a piece has the other side %d", p.Other)
	}
	p.Finish = Finish{r.float32(), r.float32(), r.float32()}
	f.At = r.vec()
	switch f.Shape {
	case solid.Rectangle, solid.Triangle, solid.Disc:
		f.U, f.V = r.vec(), r.vec()
	case solid.Tube:
		f.U, f.Radius = r.vec(), r.length()
	case solid.Ball:
		f.Radius = r.length()
	}
	if r.err != nil {
		return p
	}
	var err error
	if p.Surface, err = f.Surface(); err != nil {
		r.fail("%w", err)
	}
	return p
}

func (r *reader) source() Source {
	kind := r.uint8()
	s := Source{Centre: r.vec(), Along: r.vec(), Across: r.vec()}
	switch kind {
	case kindRound:
		return s
	case kindLambert:
		s.Facing, s.Beam = r.vec(), Lambert{}
	case kindOptics:
		s.Facing = r.vec()
		o := Optics{r.float32(), r.float32(), r.float32()}
		if !o.valid() {
			r.fail("a beam of %v", o)
		}
		s.Beam = o
	default:
		r.fail("a source of kind %d", kind)
	}
	s.Mask = r.mask()
	return s
}

func (r *reader) mask() *Mask {
	m := &Mask{Wide: int(r.uint16()), High: int(r.uint16())}
	if m.Wide == 0 && m.High == 0 || r.err != nil {
		return nil
	}
	if m.Wide > maskMost || m.High > maskMost {
		r.fail("a mask of %d by %d", m.Wide, m.High)
		return nil
	}
	m.Right, m.Up, m.HalfX, m.HalfY = r.vec(), r.vec(), r.float32(), r.float32()
	m.Pass = slices.Clone(r.take(m.Wide * m.High))
	return m
}

func (w *writer) mask(m *Mask) {
	if m == nil {
		m = &Mask{}
	}
	w.b = binary.LittleEndian.AppendUint16(w.b, uint16(m.Wide))
	w.b = binary.LittleEndian.AppendUint16(w.b, uint16(m.High))
	if m.Wide == 0 {
		return
	}
	w.vec(m.Right)
	w.vec(m.Up)
	w.float32(m.HalfX)
	w.float32(m.HalfY)
	w.b = append(w.b, m.Pass...)
}

func (w *writer) piece(p *Piece) {
	f := p.Surface.Form()
	w.b = append(w.b, byte(f.Shape))
	w.b = binary.LittleEndian.AppendUint32(w.b, uint32(int32(p.Other)))
	for c := range 3 {
		w.float32(p.Finish.channel(c))
	}
	w.vec(f.At)
	switch f.Shape {
	case solid.Rectangle, solid.Triangle, solid.Disc:
		w.vec(f.U)
		w.vec(f.V)
	case solid.Tube:
		w.vec(f.U)
		w.length(f.Radius)
	case solid.Ball:
		w.length(f.Radius)
	}
}

func (w *writer) source(s *Source) {
	kind := byte(kindRound)
	switch s.Beam.(type) {
	case nil:
	case Lambert:
		kind = kindLambert
	case Optics:
		kind = kindOptics
	default:
		w.fail("a beam of type %T has no encoded form", s.Beam)
	}
	w.b = append(w.b, kind)
	w.vec(s.Centre)
	w.vec(s.Along)
	w.vec(s.Across)
	if kind == kindRound {
		return
	}
	w.vec(s.Facing)
	if o, ok := s.Beam.(Optics); ok {
		w.float32(o.Peak)
		w.float32(o.Power)
		w.float32(o.Shape)
	}
	w.mask(s.Mask)
}

// Fits reports whether m can be the map of the task: it has its texels, its sources
// and its colours.
func (t Task) Fits(m *Map) bool {
	channels := 1
	if t.Place.coloured() {
		channels = 3
	}
	a := NewAtlas(t.Place.Pieces, t.Options.Texels)
	return m.Sources == len(t.Place.Sources) && m.Channels == channels && m.Texels == a.Texels && slices.Equal(m.Grids, a.Grids)
}
