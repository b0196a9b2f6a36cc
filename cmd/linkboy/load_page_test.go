package main

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdpnet "github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/ui/join"
)

// maxSentBytes is what a phone gets, heads and all, before the pad stands by, and
// maxAgainBytes the same when it comes back: the plan and what looks give.
const (
	maxSentBytes  = 120_000
	maxAgainBytes = 40_000
)

// A phone on a set's radio: 20 ms there and back, 8 Mbit/s, and a processor four times
// slower than the one that tests run on (common practice, no source).
const (
	phoneLatencyMs   = 20
	phoneBytesPerSec = 8e6 / 8
	phoneSlowdown    = 4
)

// traffic notes what a tab is sent.
type traffic struct {
	mu       sync.Mutex
	urls     map[cdpnet.RequestID]string
	began    float64 // when the page was asked for, s
	finished []*cdpnet.EventLoadingFinished
}

func (c *traffic) heard(ev any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch e := ev.(type) {
	case *cdpnet.EventRequestWillBeSent:
		if len(c.urls) == 0 {
			c.began = float64(e.Timestamp)
		}
		c.urls[e.RequestID] = e.Request.URL
	case *cdpnet.EventLoadingFinished:
		if strings.HasPrefix(c.urls[e.RequestID], "http") {
			c.finished = append(c.finished, e)
		}
	}
}

// by gives what had been sent so many ms after the page was asked for.
func (c *traffic) by(ms float64) (bytes, requests float64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, e := range c.finished {
		if 1000*(float64(e.Timestamp)-c.began) <= ms {
			bytes += e.EncodedDataLength
			requests++
		}
	}
	return bytes, requests
}

// markStandby notes when the pad first stands by, and when the page first drew anything.
const markStandby = `
	window.standbyAt = 0;
	new MutationObserver(() => {
		if (!window.standbyAt && document.querySelector('[data-test="pad"]')?.dataset.state === "standby") window.standbyAt = performance.now();
	}).observe(document, {subtree: true, childList: true, attributes: true});`

// load opens the page in a tab, slowed or not, and gives what was sent by the time that
// the pad stands by, and when that was, in ms from the start of the navigation.
func load(t testing.TB, browser context.Context, url string, slow bool) (sent, requests, ms float64) {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser)
	defer cancel()
	p := &phone{t, ctx}
	require.NoError(t, chromedp.Do(ctx))
	c := &traffic{urls: map[cdpnet.RequestID]string{}}
	require.NoError(t, chromedp.Listen(ctx, c.heard))
	p.onNew(planOnly)
	p.onNew(markStandby)
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		if _, err := cdp.Call(ctx, target, cdpnet.Enable, cdpnet.EnableParams{}); err != nil || !slow {
			return err
		}
		if _, err := cdp.Call(ctx, target, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: phoneSlowdown}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, target, cdpnet.EmulateNetworkConditionsByRule, cdpnet.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*cdpnet.Conditions{{Latency: phoneLatencyMs, DownloadThroughput: phoneBytesPerSec, UploadThroughput: phoneBytesPerSec}},
		})
		return err
	}))
	p.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateScale(2), chromedp.EmulateTouch), chromedp.Navigate(url))
	p.await("the pad stands by", `window.standbyAt > 0`)
	ms = ask[float64](p, `return window.standbyAt;`)
	sent, requests = c.by(ms)
	return sent, requests, ms
}

// joined waits until the daemon serves its page in few files.
func (s *rehearsal) joined() {
	s.t.Helper()
	outside.Await(s.t, "the page is in few files", func() bool {
		res, err := http.Get(s.url)
		require.NoError(s.t, err)
		defer res.Body.Close()
		index, err := io.ReadAll(res.Body)
		require.NoError(s.t, err)
		return strings.Contains(string(index), "/"+join.Folder)
	})
}

// TestPageIsSmall: what comes before the pad stands by is well under 200 kB as sent, and a
// browser that comes back asks for no script again.
func TestPageIsSmall(t *testing.T) {
	s := newStage(t, 171)
	b := browser(t)
	s.joined()
	sent, requests, _ := load(t, b, s.url, false)
	t.Logf("%.0f bytes in %.0f answers before the pad stands by", sent, requests)
	require.Less(t, sent, float64(maxSentBytes))
	again, _, _ := load(t, b, s.url, false)
	t.Logf("%.0f bytes once more", again)
	require.Less(t, again, float64(maxAgainBytes))
}

// bare is the least that a page can be which a script fills: the pad and its word.
const bare = `<!doctype html><title>bare</title><body><script>
	const pad = document.createElement("button");
	Object.assign(pad.dataset, {test: "pad", state: "standby"});
	pad.textContent = "standing by";
	document.body.append(pad);
</script>`

// BenchmarkPageLoad: from the start of the navigation to the pad that stands by, as a
// phone on a set has it and as this machine has it, each with nothing kept. Beside it a
// page with nothing but a pad, which is the browser's own part.
func BenchmarkPageLoad(b *testing.B) {
	s := newStage(b, 173)
	s.joined()
	empty := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = io.WriteString(w, bare)
	}))
	b.Cleanup(empty.Close)
	var slow, plain, least float64
	fresh := func(url string, slowed bool) float64 {
		own, end := startBrowser(b)
		defer end() // one that only waits takes its share of the machine too
		_, _, ms := load(b, own, url, slowed)
		return ms
	}
	for b.Loop() {
		slow += fresh(s.url, true)
		plain += fresh(s.url, false)
		least += fresh(empty.URL, true)
	}
	b.ReportMetric(slow/float64(b.N), "ms/throttled")
	b.ReportMetric(plain/float64(b.N), "ms/plain")
	b.ReportMetric(least/float64(b.N), "ms/throttled-bare")
	b.ReportMetric(slow/least, "x/bare")
	b.ReportMetric(0, "ns/op")
}
