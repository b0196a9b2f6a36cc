package responder

import (
	"errors"
	"time"

	"linkboy/artnet/rdm"
)

// parameter is how a device answers one parameter. asked is the data of the
// request, of the type that the standard gives it.
type parameter struct {
	get func(r *Responder, asked rdm.Parameter) (rdm.Parameter, error)
	set func(r *Responder, asked rdm.Parameter) (rdm.Parameter, error)
	// minimum: every device has it, so SUPPORTED_PARAMETERS does not list it.
	minimum bool
	// has says whether this device has it; nil for always.
	has func(m *Model) bool
}

// refusal is a NACK reason as an error.
type refusal rdm.NackReason

func (n refusal) Error() string { return rdm.NackReason(n).String() }

// obey does what a GET or SET asks and gives the answer.
func (r *Responder) obey(now time.Time, m *rdm.Message, f Fault) rdm.Message {
	if f.Refuse {
		return r.nack(m, f.Reason)
	}
	if m.SubDevice != rdm.RootDevice { // there are none here
		return r.nack(m, rdm.NackSubDevice)
	}
	if m.PID == rdm.PIDQueuedMessage && m.Class == rdm.Get && !f.NoQueue {
		return r.next(now, m)
	}
	p, known := r.known[m.PID]
	if !known || m.PID == rdm.PIDQueuedMessage && f.NoQueue {
		return r.nack(m, rdm.NackUnknownPID)
	}
	do := p.get
	if m.Class == rdm.Set {
		do = p.set
	}
	if do == nil {
		return r.nack(m, rdm.NackClass)
	}
	asked, err := m.Decode()
	if err != nil {
		return r.nack(m, reasonOf(err))
	}
	got, err := do(r, asked)
	if err != nil {
		return r.nack(m, reasonOf(err))
	}
	data, err := appendAll(got)
	if err != nil {
		return r.nack(m, rdm.NackHardwareFault)
	}
	if m.Class == rdm.Get {
		return r.part(m, data, f.Most)
	}
	return m.Reply(r.model.UID, rdm.ResponseAck, data)
}

func reasonOf(err error) rdm.NackReason {
	var reason refusal
	switch {
	case errors.As(err, &reason):
		return rdm.NackReason(reason)
	case errors.Is(err, rdm.ErrPID):
		return rdm.NackClass
	case errors.Is(err, rdm.ErrRange):
		return rdm.NackRange
	}
	return rdm.NackFormat
}

func (r *Responder) nack(m *rdm.Message, reason rdm.NackReason) rdm.Message {
	data, _ := reason.AppendBinary(nil)
	return m.Reply(r.model.UID, rdm.ResponseNack, data)
}

// appendAll encodes an answer of any length: a list may be longer than a
// message.
func appendAll(p rdm.Parameter) ([]byte, error) {
	if list, ok := p.(*rdm.PIDs); ok {
		var b []byte
		for _, pid := range *list {
			b, _ = pid.AppendBinary(b)
		}
		return b, nil
	}
	return p.AppendBinary(nil)
}

// part is the answer to a GET, or the next part of it: who asks the same again
// right after an ACK_OVERFLOW gets what follows. ANSI E1.20 section 6.3.2.
func (r *Responder) part(m *rdm.Message, data []byte, most int) rdm.Message {
	if most <= 0 || most > rdm.MaxData {
		most = rdm.MaxData
	}
	if m.PID == rdm.PIDSupportedParameters {
		most = max(most&^1, 2) // parts do not cut an entry in two
	}
	left := r.rest
	r.rest = rest{}
	if left.data != nil && left.to == m.Source && left.pid == m.PID && left.asked == string(m.Data) {
		data = left.data
	}
	if len(data) <= most {
		return m.Reply(r.model.UID, rdm.ResponseAck, data)
	}
	r.rest = rest{m.Source, m.PID, string(m.Data), data[most:]}
	return m.Reply(r.model.UID, rdm.ResponseOverflow, data[:most])
}

// next answers QUEUED_MESSAGE: what has waited longest, or the last once more,
// or no status messages when nothing waits. ANSI E1.20 section 10.3.1.
func (r *Responder) next(now time.Time, m *rdm.Message) rdm.Message {
	var kind rdm.StatusType
	if err := kind.Parse(m.Data); err != nil {
		return r.nack(m, reasonOf(err))
	}
	if kind == rdm.StatusNone {
		return r.nack(m, rdm.NackRange)
	}
	if kind != rdm.StatusGetLast {
		for i, q := range r.queue {
			if !q.ready.After(now) {
				r.queue = append(r.queue[:i:i], r.queue[i+1:]...)
				r.last = []queued{q}
				return r.again(m, q)
			}
		}
	} else if len(r.last) > 0 {
		return r.again(m, r.last[0])
	}
	nothing := m.Reply(r.model.UID, rdm.ResponseAck, nil)
	nothing.PID = rdm.PIDStatusMessages
	return nothing
}

// again is an answer from the queue, as the answer to m.
func (r *Responder) again(m *rdm.Message, q queued) rdm.Message {
	answer := q.message
	answer.Destination, answer.Transaction = m.Source, m.Transaction
	return answer
}
