package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// dragLine puts a finger on the line of the rehearsal, at a share of its length.
func (p *phone) dragLine(share float64) {
	p.t.Helper()
	at := ask[[]float64](p, `const r = part("line").getBoundingClientRect(); return [r.x, r.y + r.height / 2, r.width];`)
	x, y := at[0]+share*at[2], at[1]
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x - 4, Y: y})
	p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x, Y: y})
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

func openRehearsal(p *phone) {
	p.t.Helper()
	ask[any](p, `part("open-details")?.click(); return null;`)
	if !ask[bool](p, `return Boolean(part("open-rehearse"));`) {
		ask[any](p, `dispatchEvent(new KeyboardEvent("keydown", {key: "i"})); return null;`)
	}
	p.await("the details", `part("open-rehearse")`)
	ask[any](p, `part("open-rehearse").click(); return null;`)
	p.await("the line", `part("line")`)
}

func TestRehearsalOnThePage(t *testing.T) {
	s := newStage(t, 167)
	p := openPhone(t, browser(t), s.url, planOnly)
	openRehearsal(p)

	t.Run("a finger on the line shows that time and leaves the set alone", func(t *testing.T) {
		p.t = t
		before := s.settled()
		p.dragLine(0.5)
		p.await("the picture says that it is not the set", `part("blind") && part("rehearse").dataset.blind === "true"`)
		p.await("where", `/cue \d/.test(text("where"))`)
		require.Equal(t, before, s.settled())
		s.do("cue", `{"cue": 2}`)
		p.await("what happens on set comes before", `!part("blind")`)
		p.await("the fade ends", `pad.dataset.state === "standby"`)
	})

	t.Run("a count-in runs the cue when it is over, and a tap ends it", func(t *testing.T) {
		p.t = t
		choose := func(want string) {
			for range 6 {
				if ask[bool](p, `return text("count-in").includes("`+want+`");`) {
					return
				}
				ask[any](p, `part("count-in").click(); return null;`)
				p.frames(2)
			}
			p.await(want, `text("count-in").includes("`+want+`")`)
		}
		choose("10 s")
		was := s.state().Look
		p.tap("pad")
		p.await("it counts", `pad.dataset.state === "counting" && /^\d+$/.test(text("pad-look"))`)
		require.NotNil(t, s.state().Counting)
		p.tap("pad")
		outside.Await(t, "the tap ends the count", func() bool { return s.state().Counting == nil })
		p.await("it stands by again", `pad.dataset.state === "standby"`)
		require.Equal(t, was, s.state().Look)
		choose("4 beats")
		p.tap("pad")
		outside.Await(t, "the cue has run", func() bool { st := s.state(); return st.Look != was && st.Last.Source == "count-in" })
		choose("no")
	})

	t.Run("taps give the tempo", func(t *testing.T) {
		p.t = t
		ask[any](p, `const was = performance.now;
			const begun = performance.now();
			for (let i = 0; i < 6; i++) { // all in one turn: the clock of a busy machine is left out
				performance.now = () => begun + 400 * i;
				part("tap-tempo").dispatchEvent(new PointerEvent("pointerdown", {button: 0, isPrimary: true, bubbles: true}));
			}
			performance.now = was;
			return null;`)
		outside.Await(t, "a beat every 0.4 s is 150 a minute", func() bool {
			tempo := s.state().Tempo
			return tempo != nil && tempo.Source == "taps" && tempo.BPM == 150
		})
		p.await("the page shows it", `text("bpm") === "150"`)
	})

	t.Run("the sheet plays in a dry run", func(t *testing.T) {
		p.t = t
		p.tap("go-dry")
		p.await("a dry run", `part("play")`)
		p.dragLine(0.3)
		p.tap("play")
		outside.Await(t, "cues run by themselves", func() bool { st := s.state(); return st.Last != nil && st.Last.Source == "page" && st.Fade != nil })
		p.await("the line moves", `part("rehearse").dataset.playing === "true"`)
		p.tap("worklight")
		p.await("work light stops it", `part("rehearse").dataset.playing === "false"`)
		p.tap("worklight")
		s.do("dry", `{"on": false}`)
		p.await("the page knows that it is the set again", `part("go-dry")`)
	})

	t.Run("closing goes back to the strip and the set", func(t *testing.T) {
		p.t = t
		p.dragLine(0.8)
		p.await("the line", `part("blind")`)
		p.tap("rehearse-close")
		p.await("the strip", `part("strip") && !part("blind") && !part("line")`)
	})
}

// TestRehearsalPictures takes pictures of the rehearsal, to be looked at.
func TestRehearsalPictures(t *testing.T) {
	if pictureDir() == "" {
		t.Skip("set LINKBOY_PICTURES to a folder to take the pictures")
	}
	s := newLitSet(t, 169, "deep-end")
	p := openCamera(t, s)
	shoot := func(name string) {
		p.frames(20)
		ask[any](p, `document.activeElement?.blur(); return null;`)
		png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		savePicture(t, name, png)
	}
	for _, size := range [][3]int64{{360, 740, 2}, {1440, 900, 1}} {
		p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2]))))
		openRehearsal(p)
		shoot(fmt.Sprintf("rehearse-%d.png", size[0]))
		p.dragLine(0.32)
		p.await("the line", `part("blind")`)
		shoot(fmt.Sprintf("rehearse-line-%d.png", size[0]))
		s.do("dry", `{"on": true}`)
		s.do("cue", `{"cue": 3, "count_in": "9 s"}`)
		p.await("it counts", `pad.dataset.state === "counting" && text("pad-look") !== ""`)
		shoot(fmt.Sprintf("rehearse-count-%d.png", size[0]))
		s.do("hold", ``)
		s.do("dry", `{"on": false}`)
		p.await("it stands by", `pad.dataset.state === "standby"`)
		ask[any](p, `part("rehearse-close").click(); return null;`)
	}
}
