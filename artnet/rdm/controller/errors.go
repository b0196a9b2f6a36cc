package controller

import (
	"errors"
	"fmt"

	"linkboy/artnet/rdm"
)

var (
	// ErrUnknownDevice is a UID that no gateway has listed.
	ErrUnknownDevice = errors.New("no gateway has told of this device")
	// ErrNoAnswer is a device that did not answer in any try.
	ErrNoAnswer = errors.New("no answer")
	// ErrBusy is a device that puts its answer off for too long or for ever.
	ErrBusy = errors.New("the device puts its answer off")
	// ErrTooLong is an answer whose parts never end.
	ErrTooLong = errors.New("the answer does not end")
	// ErrNotTaken is a value that a device acknowledged and does not have.
	ErrNotTaken = errors.New("acknowledged but not taken")
)

// Refused is a NACK.
type Refused struct {
	UID    rdm.UID
	Class  rdm.Class
	PID    rdm.PID
	Reason rdm.NackReason
}

// Error says who refused what and why, in words.
func (r *Refused) Error() string {
	return fmt.Sprintf("rdm: %v refuses %v %v: %v", r.UID, r.Class, r.PID, r.Reason)
}

// reason gives the reason of a refusal; ok is false for any other error.
func reason(err error) (why rdm.NackReason, ok bool) {
	refused, ok := errors.AsType[*Refused](err)
	if !ok {
		return 0, false
	}
	return refused.Reason, true
}
