package responder

import (
	"time"

	"linkboy/artnet/rdm"
)

// Fault is how a device misbehaves, as devices in the field do. The zero Fault
// is none. Only Deaf and NeverMutes change how it is discovered.
type Fault struct {
	Deaf        bool // without power or off the line: hears nothing
	Silent      bool // takes GET and SET, answers neither
	BadChecksum bool // its answers are damaged on the line
	NeverMutes  bool // answers DISC_MUTE and goes on answering DISC_UNIQUE_BRANCH
	// Refuse answers every GET and SET with the NACK reason Reason.
	Refuse bool
	Reason rdm.NackReason
	// Slow is how much longer an answer takes.
	Slow time.Duration
	// Timer puts answers off by ACK_TIMER, in tenths of a second: they wait to
	// be asked for with QUEUED_MESSAGE.
	Timer time.Duration
	// NoQueue: what was put off by Timer is never there, and QUEUED_MESSAGE is
	// not known.
	NoQueue bool
	// Most is the most bytes of data in one answer; what is longer comes in
	// parts by ACK_OVERFLOW. 0 is the standard's 231.
	Most int
	// Answers is how many answers are faulty before the device mends itself; 0
	// is all of them.
	Answers int
}

// strike is the fault of the next answer.
func (r *Responder) strike() Fault {
	f := r.fault
	if r.fault.Answers > 0 {
		if r.fault.Answers--; r.fault.Answers == 0 {
			r.fault = Fault{}
		}
	}
	return f
}

// SetFault makes the device misbehave from now on.
func (r *Responder) SetFault(f Fault) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.fault = f
}
