package responder

import (
	"errors"
	"slices"
	"sync"
	"time"

	"linkboy/artnet/rdm"
)

// Responder is one device on a line. All methods may be called from any
// goroutine.
type Responder struct {
	model Model
	known map[rdm.PID]parameter

	mu          sync.Mutex
	fault       Fault
	label       rdm.Label
	personality uint8 // from 1
	start       rdm.StartAddress
	identify    bool
	hours       rdm.Hours
	lampHours   rdm.Hours
	lowest      []int16 // of each sensor
	highest     []int16
	muted       bool
	comms       rdm.CommsStatus
	queue       []queued // answers that wait to be asked for
	last        []queued // at most one: the last one that was
	rest        rest
}

// queued is an answer that an ACK_TIMER put off.
type queued struct {
	ready   time.Time
	message rdm.Message
}

// rest is what is left of an answer that did not fit, for who asks again.
type rest struct {
	to    rdm.UID
	pid   rdm.PID
	asked string // the data of the request
	data  []byte
}

// New makes a device. It is not on any line yet.
func New(m Model) (*Responder, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	r := &Responder{model: m, known: parametersOf(&m), label: rdm.Label(m.Label), personality: 1, start: m.Start, hours: m.Hours, lampHours: m.LampHours}
	if m.Personalities[0].Slots == 0 {
		r.start = rdm.NoStartAddress
	} else if !m.Start.Valid() {
		r.start = 1
	}
	for _, s := range m.Sensors {
		r.lowest, r.highest = append(r.lowest, s.Value), append(r.highest, s.Value)
	}
	return r, nil
}

// UID is the device's own.
func (r *Responder) UID() rdm.UID { return r.model.UID }

// State is what of a device may be set.
type State struct {
	Label       string
	Personality uint8
	Start       rdm.StartAddress
	Identify    bool
	Muted       bool
}

// State is how the device is set now.
func (r *Responder) State() State {
	r.mu.Lock()
	defer r.mu.Unlock()
	return State{string(r.label), r.personality, r.start, r.identify, r.muted}
}

// Sense changes what a sensor measures. A sensor that is not there is left out.
func (r *Responder) Sense(sensor int, value int16) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if sensor < 0 || sensor >= len(r.model.Sensors) {
		return
	}
	r.model.Sensors = slices.Clone(r.model.Sensors) // the maker's own may be shared
	r.model.Sensors[sensor].Value = value
	r.lowest[sensor], r.highest[sensor] = min(r.lowest[sensor], value), max(r.highest[sensor], value)
}

// Answer is what the device puts on its line after it heard b at now, and after
// how long: nil for nothing. b starts with the START code.
func (r *Responder) Answer(now time.Time, b []byte) (answer []byte, after time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.fault.Deaf {
		return nil, 0
	}
	var m rdm.Message
	if err := m.Parse(b); err != nil {
		r.misread(err)
		return nil, 0
	}
	if !m.Destination.Reaches(r.model.UID) || m.Source.IsBroadcast() {
		return nil, 0
	}
	switch m.Class {
	case rdm.Discovery:
		return r.discovered(&m), 0
	case rdm.Get, rdm.Set:
		return r.asked(now, &m)
	}
	return nil, 0
}

// misread counts what could not be read, for COMMS_STATUS.
func (r *Responder) misread(err error) {
	count := func(n *uint16) { *n = max(*n, *n+1) } // stays at its top
	switch {
	case errors.Is(err, rdm.ErrShort):
		count(&r.comms.Short)
	case errors.Is(err, rdm.ErrLength):
		count(&r.comms.LengthMismatch)
	case errors.Is(err, rdm.ErrChecksum):
		count(&r.comms.ChecksumFail)
	}
}

// discovered answers the messages of discovery, ANSI E1.20 section 7.
func (r *Responder) discovered(m *rdm.Message) []byte {
	data, err := m.Decode()
	if err != nil || m.SubDevice != rdm.RootDevice {
		return nil // discovery has no NACK
	}
	switch m.PID {
	case rdm.PIDDiscUniqueBranch:
		muted := r.muted && !r.fault.NeverMutes
		if muted || !data.(*rdm.Branch).Contains(r.model.UID) {
			return nil
		}
		return rdm.AppendBranchReply(nil, r.model.UID)
	case rdm.PIDDiscMute:
		r.muted = true
	case rdm.PIDDiscUnMute:
		r.muted = false
	}
	if m.Destination.IsBroadcast() {
		return nil
	}
	flags, _ := rdm.Mute{}.AppendBinary(nil)
	return r.encode(m.Reply(r.model.UID, rdm.ResponseAck, flags))
}

// asked answers GET and SET. A broadcast is obeyed and not answered.
func (r *Responder) asked(now time.Time, m *rdm.Message) ([]byte, time.Duration) {
	if m.Destination.IsBroadcast() && m.Class == rdm.Get {
		return nil, 0
	}
	f := r.strike()
	reply := r.obey(now, m, f)
	if m.Destination.IsBroadcast() || f.Silent {
		return nil, 0
	}
	if f.Timer > 0 && reply.PID != rdm.PIDQueuedMessage && m.PID != rdm.PIDQueuedMessage && !f.Refuse {
		reply = r.putOff(now, m, reply, f)
	}
	waiting := 0
	for _, q := range r.queue {
		if !q.ready.After(now) {
			waiting++
		}
	}
	reply.Count = uint8(min(waiting, 255))
	answer := r.encode(reply)
	if f.BadChecksum {
		answer[len(answer)-1] ^= 0x55
	}
	return answer, f.Slow
}

// putOff keeps an answer for later and answers when that is.
func (r *Responder) putOff(now time.Time, m *rdm.Message, reply rdm.Message, f Fault) rdm.Message {
	if !f.NoQueue {
		reply.Data = slices.Clone(reply.Data)
		r.queue = append(r.queue, queued{now.Add(f.Timer), reply})
	}
	tenths := (f.Timer + time.Second/10 - 1) / (time.Second / 10)
	data, _ := rdm.AckTimer(min(tenths, 0xffff)).AppendBinary(nil)
	return m.Reply(r.model.UID, rdm.ResponseTimer, data)
}

// encode cannot fail: every answer is built to fit.
func (r *Responder) encode(m rdm.Message) []byte {
	b, err := m.AppendBinary(nil)
	if err != nil {
		panic(err)
	}
	return b
}
