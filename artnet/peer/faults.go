package peer

import (
	"context"
	"sync/atomic"
	"time"
)

// Faults counts what could not be sent, for people to hear of at most once a second
// however much it is. It may be used from any goroutine.
type Faults struct {
	n    atomic.Uint64
	last atomic.Pointer[error]
}

// Add counts an error.
func (f *Faults) Add(err error) {
	f.last.Store(&err)
	f.n.Add(1)
}

// N is how many there were.
func (f *Faults) N() uint64 { return f.n.Load() }

// Last is the text of the last one; "" when there was none.
func (f *Faults) Last() string {
	if err := f.last.Load(); err != nil {
		return (*err).Error()
	}
	return ""
}

// Report calls tell with the faults that are new, once a second, until ctx ends.
func (f *Faults) Report(ctx context.Context, tell func(failed uint64, last string)) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	var told uint64
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if n := f.N(); n > told {
			tell(n-told, f.Last())
			told = n
		}
	}
}
