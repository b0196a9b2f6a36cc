package main

import (
	"context"
	"fmt"
	"net/url"
	"sort"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// cabledPhone opens the page through a cable that can be cut and led elsewhere.
func cabledPhone(t *testing.T, address string, scripts ...string) (*cable, *phone) {
	t.Helper()
	u, err := url.Parse(address)
	require.NoError(t, err)
	c := newCable(t, u.Host)
	return c, openPhone(t, browser(t), "http://"+c.addr, append(scripts, planOnly)...)
}

// lead has new connections go to another daemon, and ends those that are open.
func (c *cable) lead(t *testing.T, address string) {
	t.Helper()
	u, err := url.Parse(address)
	require.NoError(t, err)
	c.mu.Lock()
	c.to = u.Host
	c.mu.Unlock()
	c.mend()
}

// TestDaemonStartedAnew: the page finds the new daemon by itself, shows what is on there,
// says so, and asks for nothing that was asked of the old one.
func TestDaemonStartedAnew(t *testing.T) {
	old := newStage(t, 183)
	c, p := cabledPhone(t, old.url)
	old.do("cue", `{"look": "tide", "fade": "0 s"}`)
	p.await("the old one's look", `part("strip-tide").dataset.onset === "true"`)
	outside.Await(t, "frames", func() bool { return old.state().Output.Frames > 100 })
	c.freeze()
	p.await("the link is lost", `pad.dataset.state === "lost"`)
	p.down("pad") // into nothing
	p.up()

	anew := newStage(t, 185)
	c.lead(t, anew.url)
	p.await("what is on now", `part("strip-neutral").dataset.onset === "true" && pad.dataset.state === "standby"`)
	p.await("it is said", `/started anew/.test(text("said"))`)
	require.Equal(t, "neutral", anew.state().Look)
	require.Nil(t, anew.state().Fade, "no stale command was replayed")
	require.Nil(t, anew.state().Last)
	p.tap("pad")
	outside.Await(t, "the pad works", func() bool { return anew.state().Fade != nil || anew.state().Look != "neutral" })
}

// TestClockOfThePhone: the clock of the phone is turned by a day, on and back; the page
// goes on as before.
func TestClockOfThePhone(t *testing.T) {
	s := newStage(t, 187)
	p := openPhone(t, browser(t), s.url, planOnly, `
		const was = Date.now; window.turned = 0;
		Date.now = () => was() + window.turned;`)
	for _, by := range []int{86_400_000, -86_400_000} {
		s.do("cue", `{"look": "tide", "fade": "60 s"}`)
		p.await("it runs", `pad.dataset.state === "running"`)
		ask[any](p, fmt.Sprintf(`window.turned = %d; return null;`, by))
		p.frames(20)
		require.Equal(t, "running", ask[string](p, `return pad.dataset.state;`))
		require.Regexp(t, `^(5\d|60) s left`, ask[string](p, `return text("remaining");`))
		p.tap("pad")
		p.await("it holds", `pad.dataset.state === "held"`)
		require.NotEqual(t, "lost", ask[string](p, `return part("status-link").dataset.state;`))
		s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
		p.await("it stands by", `pad.dataset.state === "standby"`)
	}
}

// TestHiddenPage: a page that was hidden while its network went is linked soon after it is
// shown, and shows what is on now.
func TestHiddenPage(t *testing.T) {
	s := newStage(t, 189)
	c, p := cabledPhone(t, s.url, `
		window.hides = false;
		Object.defineProperty(document, "visibilityState", {get: () => (window.hides ? "hidden" : "visible")});
		window.hide = (on) => { window.hides = on; document.dispatchEvent(new Event("visibilitychange")); };`)
	ask[any](p, `hide(true); return null;`)
	c.freeze()
	p.await("the link is lost", `part("status-link").dataset.state === "lost"`)
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	c.mend()
	ask[any](p, `window.shownAt = performance.now(); hide(false); return null;`)
	p.await("what is on now", `part("strip-tide").dataset.onset === "true" && part("status-link").dataset.state !== "lost"`)
	require.Regexp(t, `link is back after`, ask[string](p, `return text("said");`))
}

// said is what one phone showed from a moment on.
type said struct {
	At   float64 // ms, the same clock for all tabs
	Says string  // "" while it says that its link is lost
}

const listenToPad = `
	window.log = [];
	const note = () => {
		const part = (name) => document.querySelector('[data-test="' + name + '"]');
		const pad = part("pad"), link = part("status-link");
		if (!pad || !link) return;
		const onSet = [...document.querySelectorAll('[data-onset="true"]')].map((e) => e.dataset.test).join();
		const says = link.dataset.state === "lost" ? "" : [onSet, pad.dataset.state === "held", part("worklight").dataset.on].join();
		if (window.log.at(-1)?.Says !== says) window.log.push({At: performance.timeOrigin + performance.now(), Says: says});
	};
	new MutationObserver(note).observe(document, {subtree: true, childList: true, attributes: true});`

// TestPhonesAgree: two phones, one of them on a bad link, never show different things of
// the set for over a second; one that says that its link is lost claims nothing.
func TestPhonesAgree(t *testing.T) {
	s := newStage(t, 191)
	c, bad := cabledPhone(t, s.url, listenToPad)
	good := openPhone(t, browser(t), s.url, planOnly, listenToPad)
	for _, step := range []func(){
		func() { s.do("cue", `{"look": "tide", "fade": "0 s"}`) },
		func() { c.freeze(); s.do("worklight", ``) },
		func() { s.do("worklight", ``) },
		func() { c.mend(); s.do("cue", `{"look": "warden", "fade": "0 s"}`) },
		func() { bad.await("healed", `part("status-link").dataset.state !== "lost"`); bad.tap("pad") },
		func() { c.freeze(); s.do("cue", `{"look": "neutral", "fade": "0 s"}`) },
		func() { c.mend(); s.do("worklight", ``) },
		func() { bad.await("healed", `part("status-link").dataset.state !== "lost"`); s.do("worklight", ``) },
	} {
		step()
		time.Sleep(1200 * time.Millisecond) // the set as it is worked, not a wait for anything
	}
	log := func(p *phone) []said { return ask[[]said](p, `return window.log;`) }
	longest := disagreement(log(good), log(bad))
	t.Logf("longest disagreement of two phones: %.0f ms", longest)
	require.Less(t, longest, 1000.0+300, "a second, and what a busy machine adds")
}

// disagreement gives the longest time, in ms, that two phones showed different things
// while neither said that its link is lost.
func disagreement(a, b []said) (longest float64) {
	at := make([]float64, 0, len(a)+len(b))
	for _, s := range append(append([]said{}, a...), b...) {
		at = append(at, s.At)
	}
	sort.Float64s(at)
	now := func(log []said, t float64) string {
		i := sort.Search(len(log), func(i int) bool { return log[i].At > t })
		if i == 0 {
			return ""
		}
		return log[i-1].Says
	}
	began := -1.0
	for _, t := range at {
		x, y := now(a, t), now(b, t)
		differ := x != "" && y != "" && x != y
		if began >= 0 {
			longest = max(longest, t-began)
		}
		switch {
		case !differ:
			began = -1
		case began < 0:
			began = t
		}
	}
	return longest
}

func TestDisagreementIsMeasured(t *testing.T) {
	a := []said{{0, "x"}, {1000, "y"}}
	require.Equal(t, 300.0, disagreement(a, []said{{0, "x"}, {1300, "y"}}))
	require.Equal(t, 200.0, disagreement(a, []said{{0, "x"}, {1200, ""}, {1900, "y"}}), "a lost link claims nothing")
	require.Equal(t, 500.0, disagreement(a, []said{{0, "x"}, {1200, "z"}, {1500, "y"}}), "one wrong thing after another")
}

// TestPageWithoutDaemon: where the browser keeps the page, it opens without the daemon,
// says that the link is lost, and shows nothing of the set; and the browser finds nothing
// missing to install it.
func TestPageWithoutDaemon(t *testing.T) {
	s := newStage(t, 193)
	c, p := cabledPhone(t, s.url)
	promised[bool](p, `await navigator.serviceWorker.ready; return true;`)
	p.await("the page is kept", `navigator.serviceWorker.controller`)
	// The index and all that it names: many files, or few once the daemon has joined them.
	promised[bool](p, `
		for (;;) {
			for (const name of await caches.keys()) {
				const kept = await caches.open(name), paths = (await kept.keys()).map((r) => new URL(r.url).pathname);
				const names = [...(await (await kept.match("/"))?.text() ?? "").matchAll(/(?:src|href)="([^":]+)"/g)].map((m) => "/" + m[1]);
				if (names.length > 5 && names.every((name) => paths.includes(name))) return true;
			}
			await new Promise((next) => setTimeout(next, 50));
		}`)
	require.Empty(t, promised[[]string](p, `
		const all = [];
		for (const name of await caches.keys()) for (const r of await (await caches.open(name)).keys()) all.push(new URL(r.url).pathname);
		return all.filter((path) => path.startsWith("/api/") || path === "/ws");`), "what runs on set is never kept")

	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		found, err := cdp.Call(ctx, target, page.GetInstallabilityErrors, cdp.Empty{})
		if err != nil {
			return err
		}
		for _, e := range found.InstallabilityErrors {
			if e.ErrorID != "in-incognito" {
				t.Errorf("cannot be installed: %s", e.ErrorID)
			}
		}
		return nil
	}))

	c.freeze()
	p.do(chromedp.Navigate("http://" + c.addr))
	p.await("the page without a daemon", `pad.dataset.state === "lost" && part("worklight")`)
	for _, f := range p.axe(axeSource(t)) {
		t.Errorf("%s (%s): %s %v", f.ID, f.Impact, f.Help, f.Nodes)
	}
	p.shootBoth("lost")
	c.mend()
	p.await("it heals", `pad.dataset.state === "standby"`)
}
