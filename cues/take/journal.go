package take

import "errors"

// Errors of a journal, for callers that put them in other words.
var (
	ErrUnknown  = errors.New("no such take")
	ErrDoubled  = errors.New("there is such a take already")
	ErrFull     = errors.New("more is to be written down than there is time for")
	ErrPhotos   = errors.New("the take has as many photos as it can have")
	ErrNotReady = errors.New("the journal is not open")
)

// Status is how a journal does.
type Status struct {
	Path    string
	Ready   bool
	Lost    uint64 // events and takes that were never written down, since the start
	Waiting int    // that could not be written and are tried again
	Err     error  // of the newest write, or of opening; nil when all is well
	Aside   string // where a broken journal was moved to; "" when it was not
	Why     string // it was broken
}
