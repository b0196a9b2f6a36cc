package main

import (
	"encoding/binary"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/responder"
	"linkboy/cues/showfile"
)

// rdmStage serves Tidewater to a node with an RDM device for every lamp, two of them as
// they left the box.
type rdmStage struct {
	*rehearsal
	lines map[artnet.PortAddress]*responder.Line
}

func newRDMStage(t testing.TB, host int) *rdmStage {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems.Error())
	lines, err := linesOf(show, "deep-end")
	require.NoError(t, err)
	bind := netip.AddrFrom4([4]byte{127, 0, 3, byte(host)})
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(bind.Next(), artnet.Port), Ports: portsOf(show), Lines: lines, Name: "test node",
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	runFor(t, node.Run)
	s := &rdmStage{&rehearsal{
		daemon: startDaemon(t, "serve", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", bind.String()),
		node:   node, show: dir, bind: bind.String(),
	}, lines}
	outside.Await(t, "the node has light", func() bool { return len(s.slots()) > 0 })
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	return s
}

// wide reads 16-bit values that the node puts out, from a slot on.
func (s *rdmStage) wide(port artnet.PortAddress, slot, n int) (values []int) {
	slots, _, _, _ := s.node.Frame(port)
	for i := range n {
		if at := slot - 1 + 2*i; at+1 < len(slots) {
			values = append(values, int(binary.BigEndian.Uint16(slots[at:])))
		}
	}
	return values
}

// device is what a lamp of the software rig is set to.
func (s *rdmStage) device(uid rdm.UID) (st responder.State) {
	for _, line := range s.lines {
		for _, d := range line.Devices() {
			if d.UID() == uid {
				return d.State()
			}
		}
	}
	return st
}

// press taps the middle of an element that may lie below what is scrolled to.
func (p *phone) press(name string) {
	p.t.Helper()
	p.await(name, `part("`+name+`")`)
	ask[any](p, `part("`+name+`").scrollIntoView({block: "center"}); return null;`)
	p.tap(name)
}

// looks takes pictures in the sizes that are looked at, and goes back to the phone.
func (p *phone) looks(name string) {
	p.t.Helper()
	if pictureDir() == "" {
		return
	}
	for _, size := range [][2]int64{{1440, 900}, {820, 1180}, {360, 740}} {
		p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateTouch))
		p.frames(12)
		p.keep(name + map[int64]string{1440: "-desk", 820: "-tablet", 360: ""}[size[0]] + ".png")
	}
}

// A lamp is dark in the plan: it was never addressed. The list finds it, sets it after a
// yes, and then it gives the light that it is sent.
func TestFindAndAddressADeadLamp(t *testing.T) {
	s := newRDMStage(t, 171)
	p := openPhone(t, browser(t), s.url, planOnly)
	moon := rdm.NewUID(softwareMaker, 29)
	require.EqualValues(t, 1, s.device(moon).Start, "as it left the box")

	p.tap("place-rig")
	p.await("the plan of the rig", `part("rig-over") && part("rig-lamps")`)
	p.looks("rig")
	p.press("rig-tab-found")
	p.press("found-ask")
	p.await("the lamps have answered", `text("found-sum").includes("30 found; 28 as planned, 2 not")`)
	p.await("what differs, in words", `text("found-moon").includes("it starts at slot 1, set 441")`)
	p.looks("rig-found")
	require.EqualValues(t, 1, s.device(moon).Start, "to look sets nothing")

	// Light would not reach it where it is set now, so it shows itself by RDM.
	p.press("rig-tab-lamp")
	p.press("lamp-moon")
	p.press("rig-show")
	outside.Await(t, "the device shows itself", func() bool { return s.device(moon).Identify })
	p.await("and the page says that it may flash", `text("rig-how").includes("flash")`)
	p.press("rig-show")
	outside.Await(t, "and stops", func() bool { return !s.device(moon).Identify })

	p.press("rig-tab-found")
	p.press("found-set")
	p.looks("rig-found-yes")
	require.EqualValues(t, 1, s.device(moon).Start, "nor to ask")
	p.press("found-yes")
	p.await("all is right", `part("found-right")`)
	require.Equal(t, responder.State{Label: "S1", Personality: 1, Start: 441, Muted: s.device(moon).Muted}, s.device(moon))

	// The proof: pointed at from the page, the bytes at its address are those of a lamp that is on.
	p.press("rig-tab-lamp")
	p.await("what reaches it", `text("rig-node").includes("test node") && text("rig-device").includes("0:0:5.441") && text("rig-sensors").includes("LED board")`)
	p.press("rig-show")
	p.await("it is shown", `text("rig-show").includes("stop") && text("rig-how").startsWith("White")`)
	outside.Await(t, "the node has its light", func() bool { return s.state().Fade == nil && s.wide(5, 441, 1)[0] > 0x1000 })
	p.looks("rig-lamp")
	p.press("rig-show")
	outside.Await(t, "and the look is back", func() bool { st := s.state(); return st.Pointing == nil && st.Fade == nil })
}

// The walk with a lamp in the other hand: every lamp shows itself, the thumb says what
// came of it, and the list at the end is that of what is to be mended.
func TestWalkFromLampToLamp(t *testing.T) {
	s := newRDMStage(t, 173)
	p := openPhone(t, browser(t), s.url, planOnly)
	p.tap("place-rig")
	p.press("walk-begin")
	p.await("the first lamp", `text("walk-at") === "lane-1"`)
	lane := func(slot int) []int { return s.wide(1, slot+3, 80) } // behind its dimmer and strobe
	outside.Await(t, "its first cell is bright, the others less", func() bool {
		now := lane(1)
		first, rest := most(now[:5]), most(now[5:10])
		return s.state().Pointing != nil && s.state().Fade == nil && first > 0x3000 && rest > 0x1000 && rest < first
	})
	require.Less(t, most(lane(164)), most(lane(1))/2, "the others are down")
	p.looks("walk")

	p.tap("walk-found")
	p.await("the second", `text("walk-at") === "lane-2" && text("walk-count") === "1 of 30"`)
	outside.Await(t, "it has the light now", func() bool { return s.state().Fade == nil && most(lane(164)) > 2*most(lane(1)) })
	p.tap("walk-missing")
	p.await("the third", `text("walk-at") === "lane-3"`)
	p.tap("walk-next")
	p.await("the fourth", `text("walk-at") === "lane-4"`)

	p.do(chromedp.Navigate(s.url))
	p.await("the page is loaded anew", `part("place-rig") && pad.dataset.state === "standby"`)
	outside.Await(t, "nothing is pointed at for a page that went", func() bool { s.do("point", `{"lamp": ""}`); return s.state().Pointing == nil })
	p.tap("place-rig")
	p.await("the walk was kept", `text("walk-begin").includes("go on")`)
	p.press("walk-begin")
	p.await("where it was", `text("walk-at") === "lane-4" && text("walk-count") === "2 of 30"`)
	for range 27 {
		at := ask[string](p, `return text("walk-at");`)
		p.tap("walk-found")
		p.await("the next one", `text("walk-at") !== "`+at+`"`)
	}
	p.await("round to what was passed over", `text("walk-at") === "lane-3"`)
	p.tap("walk-found")
	p.await("the list", `text("walk-list").includes("29 found, 1 missing") && text("walk-list-missing").includes("lane-2")`)
	p.looks("walk-over")
	outside.Await(t, "the set is as it was", func() bool { st := s.state(); return st.Pointing == nil && st.Fade == nil })
}

func most(values []int) (m int) {
	for _, v := range values {
		m = max(m, v)
	}
	return m
}

// Standing a lamp elsewhere, turning it round and giving it another address, on the plan:
// the files of the show say so, and the node has its light where it now belongs.
func TestMoveAndAddressOnThePlan(t *testing.T) {
	s := newRDMStage(t, 175)
	p := openPhone(t, browser(t), s.url, planOnly)
	says := func(text string) func() bool {
		return func() bool {
			place, err := os.ReadFile(filepath.Join(s.show, "locations", "deep-end.yaml"))
			return err == nil && strings.Contains(string(place), text)
		}
	}
	p.tap("place-rig")
	p.press("lamp-lane-1")
	p.await("it is ringed", `part("rig-ring")?.dataset.lamp === "lane-1"`)
	scale := ask[float64](p, `const plan = part("rig-over"); return plan.clientWidth;`)
	require.Positive(t, scale)

	x, y := p.middle("rig-ring")
	p.drag(x, y, x+20, y-15)
	outside.Await(t, "the file has where it stands now", func() bool {
		return !says("lane-1:     {lamp: T1, at: [2, 3.2, 0.05]")() && says("lane-1:     {lamp: T1, at: [")()
	})
	moved := ask[[]float64](p, `return [Number(part("rig-x").value), Number(part("rig-y").value), Number(part("rig-z").value)];`)
	outside.Await(t, "the page has it too", func() bool {
		moved = ask[[]float64](p, `return [Number(part("rig-x").value), Number(part("rig-y").value), Number(part("rig-z").value)];`)
		return moved[0] > 2 && moved[1] > 3.2
	})
	require.Equal(t, 0.05, moved[2], "its height stays")

	p.fill("rig-x", "2")
	outside.Await(t, "the number moves it", says(`at: [2, `))
	p.fill("rig-turn", "90")
	outside.Await(t, "it is turned", says(`along: [0, 1, 0], address: 0:0:1.001`))
	p.press("rig-flip")
	outside.Await(t, "cell 1 is the other end", says(`along: [0, -1, 0], address: 0:0:1.001`))

	// An address that is taken is told while it is typed.
	ask[any](p, `const i = part("rig-address"); i.value = "0:0:1.170"; i.dispatchEvent(new Event("input", {bubbles: true})); return null;`)
	p.await("whose it is", `text("rig-address-wrong").includes("lane-2")`)
	p.looks("rig-clash")
	p.fill("rig-address", "0:0:4.200")
	outside.Await(t, "the file has it", says(`along: [0, -1, 0], address: 0:0:4.200`))
	s.do("point", `{"lamp": "lane-1", "dim": true}`)
	outside.Await(t, "the node has its light there", func() bool {
		there := s.wide(4, 203, 80)
		return len(there) == 80 && s.state().Fade == nil && most(there[:5]) > 0x3000 && most(there[5:10]) < most(there[:5])
	})
	s.do("point", `{"lamp": ""}`)

	p.press("rig-tab-numbers")
	p.looks("rig-numbers")
	p.press("numbers-give")
	p.await("what changes is shown first", `text("numbers-changes").includes("lane-1")`)
	p.looks("rig-numbers-ask")
	p.press("numbers-yes")
	outside.Await(t, "all are numbered", says(`along: [0, -1, 0], address: 0:0:1.001`))
	p.await("nothing clashes", `!document.querySelector(".rig-mark")`)
	p.press("rig-tab-power")
	p.looks("rig-circuits")
	p.press("rig-tab-groups")
	p.looks("rig-groups")
}

// drag draws a finger over the page in steps.
func (p *phone) drag(x, y, toX, toY float64) {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
	for i := 1; i <= 4; i++ {
		f := float64(i) / 4
		p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + f*(toX-x), Y: y + f*(toY-y)})
	}
	p.up()
}

// fill types a value and leaves the field.
func (p *phone) fill(name, value string) {
	p.t.Helper()
	ask[any](p, `const i = part("`+name+`"); i.value = "`+value+`"; i.dispatchEvent(new Event("input", {bubbles: true}));
		i.dispatchEvent(new Event("change", {bubbles: true})); return null;`)
}
