package responder

import (
	"slices"
	"sync"
	"time"
)

// Line is a DMX512 line with its devices. All methods may be called from any
// goroutine.
type Line struct {
	mu      sync.Mutex
	devices []*Responder
}

// NewLine makes a line with devices on it.
func NewLine(devices ...*Responder) *Line { return &Line{devices: slices.Clone(devices)} }

// Plug puts a device on the line.
func (l *Line) Plug(r *Responder) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.devices = append(l.devices, r)
}

// Unplug takes a device off the line.
func (l *Line) Unplug(r *Responder) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.devices = slices.DeleteFunc(l.devices, func(d *Responder) bool { return d == r })
}

// Devices lists what is on the line.
func (l *Line) Devices() []*Responder {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.devices)
}

// Send puts a message on the line and gives what comes back and after how long:
// nil for nothing. Answers of several devices at once collide: on a line that
// each of them pulls its own way, what is read of such bits is chance, and here
// a mark wins over a space.
func (l *Line) Send(now time.Time, b []byte) (answer []byte, after time.Duration) {
	for _, d := range l.Devices() {
		own, late := d.Answer(now, b)
		if own == nil {
			continue
		}
		after = max(after, late)
		if len(own) > len(answer) {
			own, answer = answer, own
		}
		for i := range own {
			answer[i] |= own[i]
		}
	}
	return answer, after
}
