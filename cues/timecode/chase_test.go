package timecode_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/timecode"
)

// tape plays labels into a chase.
type tape struct {
	t     *testing.T
	chase timecode.Chase
	code  timecode.Code
	began time.Time // when code was at its first label
	first timecode.Code
}

func newTape(t *testing.T, r timecode.Rate) *tape {
	p := &tape{t: t, code: code(t, r, 1, 0, 0, 0), began: time.Unix(1000, 0)}
	p.first = p.code
	return p
}

// due is when the code's label comes if nothing is late.
func (p *tape) due() time.Time { return p.began.Add(p.code.Rate.Span(p.code.Sub(p.first))) }

// label sends the next label, late by so much.
func (p *tape) label(late time.Duration) (jumped bool) {
	jumped = p.chase.Take(p.code, p.due().Add(late))
	p.code = p.code.Add(1)
	return jumped
}

func (p *tape) now(at time.Time) (string, bool) {
	c := p.chase.Clock(at)
	return c.Now(at).String(), c.Running()
}

func TestChaseJamsAndRuns(t *testing.T) {
	for _, r := range rates {
		p := newTape(t, r)
		require.True(t, p.label(0), "the first label")
		at, running := p.now(p.began)
		require.Equal(t, p.first.String(), at)
		require.False(t, running, "one label alone moves nothing")
		for range 3 * 60 * 30 {
			require.False(t, p.label(0))
			last := p.code.Add(-1)
			at, running = p.now(p.due())
			require.True(t, running)
			require.Contains(t, []string{p.code.String(), last.String()}, at) // Span rounds down, so the label may be a nanosecond on
		}
	}
}

func TestChaseBridgesLostPackets(t *testing.T) {
	p := newTape(t, timecode.EBU)
	p.label(0)
	p.label(0)
	p.code = p.code.Add(4) // 200 ms until the next
	at, running := p.now(p.due().Add(-time.Millisecond))
	require.True(t, running)
	require.Equal(t, p.code.Add(-1).String(), at, "it runs on by itself")
	require.False(t, p.label(0), "and what comes then is no jump")

	stopped := p.code.Add(-1).String()
	last := p.due().Add(-40 * time.Millisecond)
	at, running = p.now(last.Add(timecode.Flywheel))
	require.True(t, running)
	require.Equal(t, p.code.Add(5).String(), at)
	at, running = p.now(last.Add(timecode.Flywheel + 1))
	require.False(t, running, "what has stopped runs on for the flywheel's time and no longer")
	require.Equal(t, stopped, at, "and stays at the last label that came")
}

func TestChaseBearsLateAndDoubleAndOvertakingPackets(t *testing.T) {
	p := newTape(t, timecode.Film)
	p.label(0)
	for i := range 500 {
		require.False(t, p.label(time.Duration(i*7%40)*time.Millisecond), "late by up to a frame, label %d", i)
	}
	at := p.due()
	require.False(t, p.chase.Take(p.code.Add(-1), at), "the same again")
	require.False(t, p.chase.Take(p.code.Add(-2), at), "one that was overtaken")
	now, running := p.now(at)
	require.True(t, running)
	require.Contains(t, []string{p.code.String(), p.code.Add(-1).String()}, now)
}

func TestChaseSeesJumps(t *testing.T) {
	for _, by := range []int64{-100000, -100, -4, 4, 100, 100000} {
		p := newTape(t, timecode.Film)
		p.label(0)
		p.label(0)
		at := p.due()
		there := p.code.Add(by)
		require.True(t, p.chase.Take(there, at), "by %d", by)
		now, running := p.now(at)
		require.Equal(t, there.String(), now)
		require.False(t, running, "until another label follows")
		require.False(t, p.chase.Take(there.Add(1), at.Add(42*time.Millisecond)))
		_, running = p.now(at.Add(42 * time.Millisecond))
		require.True(t, running)
	}
	p := newTape(t, timecode.Film)
	p.label(0)
	p.label(0)
	require.True(t, p.chase.Take(code(t, timecode.EBU, 1, 0, 0, 2), p.due()), "another rate is elsewhere")
}

// TestChaseStandsStill: a machine that repeats one label while it waits does not
// run, and when it goes on from there, that is no jump: a cue at that very
// label has not been missed.
func TestChaseStandsStill(t *testing.T) {
	p := newTape(t, timecode.SMPTE)
	require.True(t, p.label(0))
	at := p.began
	for range 300 {
		at = at.Add(33 * time.Millisecond)
		require.False(t, p.chase.Take(p.first, at))
		_, running := p.now(at)
		require.False(t, running)
	}
	require.False(t, p.chase.Heard(at))
	require.False(t, p.chase.Take(p.first.Add(1), at.Add(33*time.Millisecond)))
	_, running := p.now(at.Add(33 * time.Millisecond))
	require.True(t, running)
}

// TestChaseAcrossMidnight: SMPTE ST 12-1 has a day of labels.
func TestChaseAcrossMidnight(t *testing.T) {
	for _, r := range rates {
		p := newTape(t, r)
		p.code = timecode.At(r, -3)
		p.first = p.code
		require.True(t, p.label(0))
		for range 10 {
			require.False(t, p.label(0), "at %v", p.code)
		}
	}
}

func TestClock(t *testing.T) {
	var c timecode.Clock
	at := time.Unix(1000, 0)
	require.True(t, c.Now(at).IsZero())
	c.Run(true, at)
	require.False(t, c.Running(), "there is nowhere to run from")
	start := code(t, timecode.EBU, 23, 59, 59, 0)
	c.Set(start, at, true)
	require.Equal(t, "00:00:00:12", c.Now(at.Add(1500*time.Millisecond)).String())
	cue := code(t, timecode.EBU, 0, 0, 2, 0)
	require.Equal(t, time.Second, c.Midnight(at))
	require.Equal(t, 2*time.Second, c.Until(cue, at.Add(time.Second)))
	require.Equal(t, -time.Second, c.Until(cue, at.Add(4*time.Second)))
	late := code(t, timecode.EBU, 20, 0, 0, 0)
	require.Equal(t, 20*time.Hour, c.Until(late, at.Add(time.Second)), "however far it is")
	c.Run(false, at.Add(time.Second))
	c.Run(false, at.Add(5*time.Second))
	require.Equal(t, "00:00:00:00", c.Now(at.Add(time.Hour)).String())
}

// TestClockDoesNotDrift: an hour of code, frame by frame, to the nanosecond.
func TestClockDoesNotDrift(t *testing.T) {
	for _, r := range rates {
		var c timecode.Clock
		at := time.Unix(1000, 0)
		c.Set(timecode.At(r, 0), at, true)
		for n := int64(1); n <= 3600*r.Labels(); n++ {
			begins := at.Add(r.Span(n))
			if got := c.Now(begins).Frame(); got != n {
				t.Fatalf("at %v frame %d has not begun: %d", r, n, got)
			}
			if got := c.Now(begins.Add(-1)).Frame(); got != n-1 {
				t.Fatalf("at %v frame %d begins too soon", r, n)
			}
		}
	}
}
