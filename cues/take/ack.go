package take

import "context"

// Ack is the answer of the disk to something that was asked to be written.
type Ack struct{ done chan error }

// NewAck gives an answer and how to give it, once.
func NewAck() (Ack, func(error)) {
	a := Ack{make(chan error, 1)}
	return a, func(err error) { a.done <- err }
}

// Wait gives nil once it is on the disk, else why it is not, or why ctx has ended.
// It is called once.
func (a Ack) Wait(ctx context.Context) error {
	select {
	case err := <-a.done:
		return err
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}
