package rtwait_test

import (
	"context"
	"fmt"
	"os/exec"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"

	"linkboy/cues/play"
	"linkboy/cues/play/rtwait"
	"linkboy/cues/track"
)

// BenchmarkLateness tells how late each way to sleep wakes, on a machine that
// is left alone, one with every core busy in other processes, and one where a
// goroutine of this process allocates without end. The bare rows are what the
// machine gives a program that does nothing else: clock_nanosleep to absolute
// times on a thread of its own, without the Go scheduler, ordinary and
// real-time. An op is one wake, every 22.7 ms; -benchtime 1000x gives figures
// worth quoting. Real-time rows need CAP_SYS_NICE.
func BenchmarkLateness(b *testing.B) {
	for _, load := range []struct {
		name  string
		begin func(b *testing.B)
	}{{"idle", func(*testing.B) {}}, {"busy", busy}, {"allocating", allocating}} {
		b.Run(load.name, func(b *testing.B) {
			b.Run("bare", func(b *testing.B) { load.begin(b); bare(b, false) })
			b.Run("bare real-time", func(b *testing.B) { load.begin(b); bare(b, true) })
			b.Run("ticker", func(b *testing.B) { load.begin(b); ticking(b) })
			b.Run("timers", func(b *testing.B) { load.begin(b); waiting(b, play.Timers()) })
			b.Run("thread", func(b *testing.B) { load.begin(b); waiting(b, rtwait.Sleeper()) })
			b.Run("real-time", func(b *testing.B) { load.begin(b); waiting(b, rtwait.New(needRealTime(b))) })
		})
	}
}

const period = time.Second / play.DefaultRate

func needRealTime(b *testing.B) func(rtwait.Priority, error) {
	return func(p rtwait.Priority, err error) {
		if p != rtwait.RealTime {
			b.Skip("this thread may not be real-time:", err)
		}
	}
}

func waiting(b *testing.B, w play.Waiter) {
	w.Begin()
	defer w.End()
	var late lateness
	due := time.Now()
	for b.Loop() {
		due = due.Add(period)
		for time.Now().Before(due) {
			w.Wait(due)
		}
		late.add(time.Since(due))
	}
	late.report(b)
}

func ticking(b *testing.B) {
	var late lateness
	t := time.NewTicker(period)
	defer t.Stop()
	due := time.Now()
	for b.Loop() {
		<-t.C
		due = due.Add(period)
		late.add(time.Since(due))
	}
	late.report(b)
}

func bare(b *testing.B, realTime bool) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	_ = unix.Prctl(unix.PR_SET_TIMERSLACK, 1, 0, 0, 0)
	if realTime {
		if err := rtwait.SetFIFO(0, true); err != nil {
			b.Skip("this thread may not be real-time:", err)
		}
		defer rtwait.SetFIFO(0, false)
	}
	now := func() int64 {
		var ts unix.Timespec
		_ = unix.ClockGettime(unix.CLOCK_MONOTONIC, &ts)
		return ts.Nano()
	}
	var late lateness
	due := now()
	for b.Loop() {
		due += int64(period)
		at := unix.NsecToTimespec(due)
		for now() < due {
			unix.RawSyscall6(unix.SYS_CLOCK_NANOSLEEP, unix.CLOCK_MONOTONIC, 1, uintptr(unsafe.Pointer(&at)), 0, 0, 0)
		}
		late.add(time.Duration(now() - due))
	}
	late.report(b)
}

// firsts is an Output that tells when it has a first frame.
type firsts chan time.Time

func (f firsts) SendFrame(addresses []uint16, _ [][]byte, first bool) error {
	if first && len(addresses) > 0 {
		f <- time.Now()
	}
	return nil
}

// busy keeps every core busy in processes of their own until the benchmark ends.
func busy(b *testing.B) {
	for range runtime.NumCPU() {
		cmd := exec.CommandContext(b.Context(), "sh", "-c", "while :; do :; done")
		if err := cmd.Start(); err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { _ = cmd.Wait() }) // its context has ended by then
	}
	time.Sleep(50 * time.Millisecond)
}

var kept atomic.Pointer[[]*[64]byte]

// allocating makes garbage in this process until the benchmark ends.
func allocating(b *testing.B) {
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for b.Context().Err() == nil {
			some := make([]*[64]byte, 10000)
			for i := range some {
				some[i] = new([64]byte)
			}
			kept.Store(&some)
		}
	}()
	b.Cleanup(func() { <-ended })
}

type lateness []time.Duration

func (l *lateness) add(d time.Duration) { *l = append(*l, d) }

func (l lateness) report(b *testing.B) {
	slices.Sort(l)
	for _, row := range []struct {
		name  string
		share float64
	}{{"p50", 0.5}, {"p99", 0.99}, {"max", 1}} {
		at := min(int(row.share*float64(len(l))), len(l)-1)
		b.ReportMetric(float64(l[at])/1000, fmt.Sprintf("%s-us", row.name))
	}
	b.ReportMetric(0, "ns/op") // the period, which says nothing
}

// BenchmarkCommandToFrame is the time from the call of Start until the output has
// its first frame, by how the loop sleeps.
func BenchmarkCommandToFrame(b *testing.B) {
	for _, row := range []struct {
		name string
		make func(b *testing.B) play.Waiter
	}{
		{"timers", func(*testing.B) play.Waiter { return play.Timers() }},
		{"thread", func(*testing.B) play.Waiter { return rtwait.Sleeper() }},
		{"real-time", func(b *testing.B) play.Waiter { return rtwait.New(nil) }},
	} {
		b.Run(row.name, func(b *testing.B) {
			l := &track.Layout{Universes: []track.Universe{{Base: make([]byte, 2)}}, Curves: []track.Curve{{}}, Slots: []track.Slot{{Wide: true}}}
			got := make(firsts, 64)
			e := play.New(play.Config{Output: got, Waiter: row.make(b)})
			ctx, cancel := context.WithCancel(b.Context())
			ended := make(chan error, 1)
			go func() { ended <- e.Run(ctx) }()
			if err := e.Load(l, l.NewStill()); err != nil {
				b.Fatal(err)
			}
			fade := &track.Fade{From: l.NewStill(), To: track.Still{1}, Total: time.Hour}
			<-got
			var took lateness
			for b.Loop() {
				begun := time.Now()
				if _, err := e.Start(fade, play.StartOptions{}); err != nil {
					b.Fatal(err)
				}
				took.add((<-got).Sub(begun))
				time.Sleep(time.Millisecond) // so that the loop sleeps, as between taps
			}
			cancel()
			<-ended
			took.report(b)
		})
	}
}
