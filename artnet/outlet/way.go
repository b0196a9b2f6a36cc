package outlet

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet/link"
)

// Times between tries to open a way out, doubling from the first to the most.
const (
	retryFirst = 500 * time.Millisecond
	retryMost  = 8 * time.Second
)

// device is a link or a source.
type device interface {
	SendFrame(addresses []uint16, slots [][]byte, first bool) error
	Run(context.Context) error
	Local() netip.AddrPort
	Close() error
}

// previewer is a device that can send what is not for live output.
type previewer interface {
	PreviewFrame(addresses []uint16, slots [][]byte, first bool) error
}

// aimer is a device that can be told where universes go.
type aimer interface{ Aim(link.Targets) }

// way is a way out: a device that is open, or is going to be.
type way struct {
	key     string
	name    string
	own     bool // by the interface of the Config
	over    Protocol
	preview bool
	open    func() (device, error)
	after   <-chan struct{}        // closed when the way of this key before it is; nil for none
	device  atomic.Pointer[device] // nil until it is open
	fault   atomic.Pointer[error]  // why it is not; nil before the first try
	failed  atomic.Pointer[failure]

	mu      sync.Mutex // of what follows; never held by SendFrame
	targets link.Targets
	cancel  context.CancelFunc // ends run; nil when it does not run
	done    chan struct{}

	// SendFrame's own: the part of a frame that goes this way.
	addresses []uint16
	slots     [][]byte
}

// failure is the last frame that did not go out whole.
type failure struct {
	err error
	at  time.Time
}

// recent is how long a failure is told: an unchanged universe is not sent every
// frame, so a frame without an error does not say that all is well.
const recent = 3 * time.Second

// trouble is why frames do not go this way, nil when they do.
func (w *way) trouble() error {
	if err := w.fault.Load(); err != nil {
		return *err
	}
	if f := w.failed.Load(); f != nil && time.Since(f.at) < recent {
		return f.err
	}
	return nil
}

// try opens the device unless it is open.
func (w *way) try() error {
	if w.device.Load() != nil {
		return nil
	}
	d, err := w.open()
	if err != nil {
		err = fmt.Errorf("%s: %w", w.name, err)
		w.fault.Store(&err)
		return err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if a, ok := d.(aimer); ok {
		a.Aim(w.targets)
	}
	w.device.Store(&d)
	w.fault.Store(nil)
	return nil
}

// aim says where universes go, now or when the device opens.
func (w *way) aim(t link.Targets) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.targets = t
	if d := w.device.Load(); d != nil {
		if a, ok := (*d).(aimer); ok {
			a.Aim(t)
		}
	}
}

// start runs the way in the background until ctx ends or stop is called.
func (w *way) start(ctx context.Context, o *Outlet) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.cancel != nil {
		return
	}
	ctx, w.cancel = context.WithCancel(ctx)
	w.done = make(chan struct{})
	go func() {
		defer close(w.done)
		w.run(ctx, o)
	}()
}

// run opens the device, however long it takes, and runs it.
func (w *way) run(ctx context.Context, o *Outlet) {
	if w.after != nil {
		<-w.after // it has the same port or the same CID
	}
	wait, told := retryFirst, ""
	for ctx.Err() == nil {
		if err := w.try(); err != nil {
			if told != err.Error() {
				told = err.Error()
				o.log.Warn("an output cannot be opened; trying again", "error", err)
			}
			select {
			case <-ctx.Done():
			case <-time.After(wait):
			}
			wait = min(2*wait, retryMost)
			continue
		}
		if told != "" {
			o.log.Info("an output is open", "output", w.name)
			told = ""
		}
		d := *w.device.Load()
		err := d.Run(ctx)
		if ctx.Err() != nil {
			return // and it has closed itself
		}
		// A device runs until it is told to end; whatever ended it, a new one may do.
		err = fmt.Errorf("%s: %w", w.name, errors.Join(errEnded, err))
		w.fault.Store(&err)
		w.device.Store(nil)
		_ = d.Close()
	}
}

var errEnded = errors.New("it has ended")

// stop ends the way and waits for it: sACN streams are ended first.
func (w *way) stop() {
	w.mu.Lock()
	cancel, done := w.cancel, w.done
	w.mu.Unlock()
	if cancel != nil {
		cancel()
		<-done
	}
	if d := w.device.Load(); d != nil {
		_ = (*d).Close() // done with it, whatever it says
	}
}

// send sends the part of a frame that goes this way.
func (w *way) send(ports *portSet, addresses []uint16, slots [][]byte, first, preview bool) error {
	w.addresses, w.slots = w.addresses[:0], w.slots[:0]
	for i, a := range addresses {
		if ports.has(a) {
			w.addresses, w.slots = append(w.addresses, a), append(w.slots, slots[i])
		}
	}
	err := w.sendPart(first, preview)
	clear(w.slots) // the frame is not ours to keep
	return err
}

func (w *way) sendPart(first, preview bool) (err error) {
	d := w.device.Load()
	if d == nil {
		if err := w.fault.Load(); err != nil && len(w.addresses) > 0 {
			return *err
		}
		return nil // nothing is lost, or it is being opened
	}
	if preview {
		if p, ok := (*d).(previewer); ok {
			err = p.PreviewFrame(w.addresses, w.slots, first)
		}
	} else {
		err = (*d).SendFrame(w.addresses, w.slots, first)
	}
	if err != nil {
		w.failed.Store(&failure{err, time.Now()})
	}
	return err
}
