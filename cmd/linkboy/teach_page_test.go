package main

import (
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// TestFirstSteps: whoever opens the demo for the first time is led through five taps, and
// never again; a show of one's own says nothing of it.
func TestFirstSteps(t *testing.T) {
	s := &litSet{daemon: startDaemon(t, "demo", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.180")}
	p := openPhone(t, browser(t), s.url, planOnly)
	s.do("standby", `{"cue": 2}`)
	step := func(name string) {
		t.Helper()
		p.await(name, `part("teach")?.dataset.step === "`+name+`"`)
	}
	step("flip")
	p.shootBoth("teach")
	p.tap("pad")
	step("ride")
	p.await("it stands by", `pad.dataset.state === "standby"`)
	x, y := p.middle("pad")
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y + 40})
	for dy := 30.0; dy >= -40; dy -= 10 {
		p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x, Y: y + dy})
	}
	step("hold")
	p.up()
	p.await("the thumb is off", `pad.dataset.state === "held"`)
	outside.Await(t, "it runs", func() bool { // the thumb's last word may come later, and holds it
		if now := s.state(); now.Fade == nil || now.Held {
			s.post("cue", `{"look": "tide", "fade": "60 s"}`) // refused as a bounce where it has just been asked
		}
		return ask[bool](p, `return pad.dataset.state === "running";`)
	})
	s.do("hold", ``) // whoever asks, it is learnt
	step("worklight")
	p.tap("worklight")
	step("back")
	p.tap("worklight")
	p.tap("back")
	step("done")
	p.tap("teach-skip")
	p.await("it is over", `!part("teach")`)
	p.do(chromedp.Navigate(s.url))
	p.await("the pad", `part("pad") && part("status-link").dataset.state === "up"`)
	p.frames(5)
	require.True(t, ask[bool](p, `return !part("teach");`), "never again")

	own := newStage(t, 181)
	o := openPhone(t, browser(t), own.url, planOnly)
	o.frames(5)
	require.True(t, ask[bool](o, `return !part("teach");`), "a show of one's own does not teach")
}
