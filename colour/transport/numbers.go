package transport

import (
	"encoding/binary"
	"fmt"
	"math"

	"linkboy/colour/solid"
)

const (
	// perMetre is how many units of an encoded length are a metre.
	perMetre = 1e9
	// lengthMost, 1000 km in those units, is read and written without loss.
	lengthMost = 1e15
)

// writer appends the numbers of a task. The first thing that cannot be written is kept.
type writer struct {
	b   []byte
	err error
}

func (w *writer) fail(format string, args ...any) {
	if w.err == nil {
		w.err = fmt.Errorf("%w: "+format, append([]any{ErrTask}, args...)...)
	}
}

func (w *writer) length(x float64) {
	n := math.Round(x * perMetre)
	if !(math.Abs(n) <= lengthMost) {
		w.fail("a length of %g m", x)
		return
	}
	w.b = binary.LittleEndian.AppendUint64(w.b, uint64(int64(n)))
}

func (w *writer) vec(v solid.Vec) {
	w.length(v.X)
	w.length(v.Y)
	w.length(v.Z)
}

func (w *writer) float32(x float64) {
	w.b = binary.LittleEndian.AppendUint32(w.b, math.Float32bits(float32(x)))
}

// reader takes the numbers of a task off b. After the first fault all numbers are 0.
type reader struct {
	b   []byte
	err error
}

func (r *reader) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf("%w: "+format, append([]any{ErrTask}, args...)...)
	}
}

// take gives the next n bytes.
func (r *reader) take(n int) []byte {
	if len(r.b) < n {
		r.fail("it ends too early")
	}
	if r.err != nil {
		return make([]byte, n)
	}
	b := r.b[:n]
	r.b = r.b[n:]
	return b
}

func (r *reader) uint8() uint8   { return r.take(1)[0] }
func (r *reader) uint16() uint16 { return binary.LittleEndian.Uint16(r.take(2)) }
func (r *reader) uint32() uint32 { return binary.LittleEndian.Uint32(r.take(4)) }

func (r *reader) count(most int) int {
	n := r.uint32()
	if n > uint32(most) {
		r.fail("it counts %d of something", n)
		return 0
	}
	return int(n)
}

func (r *reader) length() float64 {
	n := int64(binary.LittleEndian.Uint64(r.take(lengthBytes)))
	if n > lengthMost || n < -lengthMost {
		r.fail("a length of %g m", float64(n)/perMetre)
	}
	return float64(n) / perMetre
}

func (r *reader) vec() solid.Vec { return solid.Vec{X: r.length(), Y: r.length(), Z: r.length()} }

func (r *reader) float32() float64 {
	return float64(math.Float32frombits(r.uint32()))
}
