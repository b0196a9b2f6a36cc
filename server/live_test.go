package server_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// These tests run real websockets over in-memory connections under synctest's
// clock: times are exact, and a goroutine that is left behind fails the test.
// Close codes are those of RFC 6455 7.4.1; times are of the outside contract.

func TestTwoPagesSeeAChange(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, stop := runOn(t, newServer(t, d))
		a, b := openPage(t, l.dial, nil), openPage(t, l.dial, nil)
		for _, p := range []*testPageLink{a, b} {
			require.Equal(t, "warden", p.await("first state", isState).wire.State.Look)
		}
		time.Sleep(time.Second + 7*time.Millisecond)
		start := time.Now()
		a.send(`{"id": 12, "verb": "cue", "look": "tide", "fade": "4 s"}`)
		isTide := func(h heard) bool { return isState(h) && h.wire.State.Look == "tide" }
		var told []heard // to the first page; the answer may come before or after it
		answer := a.await("the answer", func(h heard) bool {
			if isTide(h) {
				told = append(told, h)
			}
			return h.wire.Type == "answer"
		})
		require.True(t, answer.wire.OK)
		require.JSONEq(t, `{"type": "answer", "id": 12, "ok": true}`, string(answer.text))
		require.Equal(t, []string{"cue tide fade=4 s delay= curve= path= spread= at=-"}, d.verbs())
		if len(told) == 0 {
			told = append(told, a.await("the change", isTide))
		}
		told = append(told[:1], b.await("the change", isTide))
		for _, h := range told {
			require.Equal(t, start, h.at, "a change is told at once")
		}
		a.leave()
		b.leave()
		stop()
		require.Zero(t, d.readerCount(), "nobody listens to the director any more")
	})
}

func TestHeartbeatWhileNothingHappens(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, _ := runOn(t, newServer(t, newFake()))
		p := openPage(t, l.dial, nil)
		time.Sleep(time.Minute)
		var last time.Time
		states, cells := 0, 0
		for _, h := range p.heardUntilNow() {
			if h.binary {
				cells++
			} else if isState(h) {
				if states > 0 {
					require.LessOrEqual(t, h.at.Sub(last), 400*time.Millisecond)
				}
				states, last = states+1, h.at
			}
		}
		require.InDelta(t, 60/0.4, states, 20, "and no more often than needed")
		require.Equal(t, 1, cells, "light that does not change is sent once")
	})
}

func TestFadeIsToldTwentyFiveTimesASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		p.await("first state", isState)
		d.change(func(st *session.State) { st.Fade = &session.Fade{From: "warden", To: "tide", TotalMS: 4000} })
		for i := range 4 * 44 { // every frame changes the light
			time.Sleep(time.Second / 44)
			d.light(float64(i))
		}
		states, cells := 0, 0
		for _, h := range p.heardUntilNow() {
			if h.binary {
				cells++
			} else if isState(h) {
				states++
			}
		}
		require.InDelta(t, 100, states, 2)
		require.LessOrEqual(t, states, 101)
		require.InDelta(t, 100, cells, 2)
		require.LessOrEqual(t, cells, 101)

		d.change(func(st *session.State) { st.Held = true })
		time.Sleep(200 * time.Millisecond)
		p.heardUntilNow()
		time.Sleep(4 * time.Second)
		require.Less(t, len(p.heardUntilNow()), 13, "a held fade does not move")
	})
}

func TestManyChangesAtOnceAreOnePush(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		p.await("first state", isState)
		time.Sleep(time.Second)
		p.heardUntilNow()
		for i := range 1000 {
			d.change(func(st *session.State) { st.Overall = float64(i) })
			time.Sleep(time.Millisecond)
		}
		time.Sleep(40 * time.Millisecond)
		all := p.heardUntilNow()
		require.LessOrEqual(t, len(all), 27)
		require.Equal(t, 999.0, all[len(all)-1].wire.State.Overall, "the newest is always told")
	})
}

func TestCellsFrameOverTheWebsocket(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		first := p.await("light", func(h heard) bool { return h.binary })
		revision, frame, cells := readCells(t, first.text)
		require.Equal(t, uint32(1), revision)
		require.Equal(t, uint64(7), frame)
		require.Equal(t, [][3]float32{{1, 2, 3}, {0.5, 0.25, 0.125}}, cells)

		d.light(9)
		second := p.await("new light", func(h heard) bool { return h.binary })
		require.LessOrEqual(t, second.at.Sub(first.at), 40*time.Millisecond)
		_, frame, cells = readCells(t, second.text)
		require.Equal(t, uint64(8), frame)
		require.Equal(t, float32(9), cells[1][1])

		// A page that comes later sees the same light, though nothing changed.
		late := openPage(t, l.dial, nil)
		_, _, cells = readCells(t, late.await("light", func(h heard) bool { return h.binary }).text)
		require.Equal(t, float32(9), cells[1][1])
	})
}

// TestLightIsAskedForOnlyWhenItChanges: to work it out costs a copy of every slot.
func TestLightIsAskedForOnlyWhenItChanges(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		p.await("light", func(h heard) bool { return h.binary })
		asked := func() int {
			d.mu.Lock()
			defer d.mu.Unlock()
			return d.asked
		}
		time.Sleep(100 * time.Millisecond)
		before := asked()
		time.Sleep(10 * time.Second)
		require.Equal(t, before, asked())
		d.light(9)
		time.Sleep(100 * time.Millisecond)
		require.Equal(t, before+1, asked())
	})
}

func TestAnotherPlanIsAnnounced(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		p.await("first state", isState)
		d.change(func(st *session.State) { st.Location, st.Revision = "pump-room", 2 })
		plan := p.await("plan", func(h heard) bool { return h.wire.Type == "plan" })
		require.JSONEq(t, `{"type": "plan", "revision": 2}`, string(plan.text))
		require.Equal(t, uint32(2), p.await("state", isState).wire.State.Revision)
	})
}

// A lamp that is moved on the plan gives the light that it gave: the page needs it as
// that of the new plan all the same, else it draws a dark place.
func TestTheSameLightIsToldOfAnotherPlan(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		time.Sleep(time.Second)
		p.heardUntilNow()
		d.change(func(st *session.State) { st.Revision = 2 })
		time.Sleep(200 * time.Millisecond)
		told := map[byte]uint32{}
		for _, h := range p.heardUntilNow() {
			if h.binary || h.seen {
				told[h.text[0]] = binary.LittleEndian.Uint32([]byte(h.text[4:8]))
			}
		}
		require.Equal(t, map[byte]uint32{1: 2, 2: 2}, told, "cells and what the camera sees of them")
	})
}

func TestWarningsOfTheNetworkAreAdded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		found := []session.Warning{{Code: "node-lost", Message: "m", Why: "y", Where: "10.0.0.3", Mend: "check its power"}}
		var asked []uint16
		s := newServer(t, d, func(c *server.Config) {
			c.Warnings = func(addresses []uint16) []session.Warning { asked = addresses; return found }
		})
		warnings := func() []session.Warning {
			var st session.State
			require.NoError(t, json.Unmarshal(get(s, "/api/state").Body.Bytes(), &st))
			return st.Warnings
		}
		own := warnings()
		require.Len(t, own, 1, "nodes have had no time to answer")
		time.Sleep(4*time.Second + 1)
		require.Equal(t, append(own[:1:1], found...), warnings())
		addresses, _ := d.Frames()
		require.Equal(t, addresses, asked, "the port-addresses that are filled")
		found = nil
		require.Equal(t, own, warnings(), "mended: gone at once")
		found = []session.Warning{{Code: "no-node", Mend: "x"}}
		d.change(func(st *session.State) { st.Dry = true })
		require.Equal(t, own, warnings(), "in a dry run nobody waits for nodes")
	})
}

// What is known of a node comes out whole in the state.
func TestNodesInTheState(t *testing.T) {
	node := session.Node{
		Name: "wall", LongName: "wall, left", IP: "10.0.0.3", Ports: []string{"0:0:1"}, LastSeenMS: 900, Firmware: "2.3",
		MAC: "02:00:00:00:5e:09", Esta: 0x7ff0, Oem: 255, Indicators: "locate", Status: []string{"RDM"}, Report: "#0001 [0001] ok",
		Lines: []session.Line{{Address: "0:0:1", Direction: "out", Protocol: "DMX512", Page: 1, Status: []string{"putting out data"}}},
	}
	s := newServer(t, newFake(), func(c *server.Config) { c.Nodes = func() []server.NodeInfo { return []server.NodeInfo{node} } })
	var body struct{ Nodes []map[string]any }
	require.NoError(t, json.Unmarshal(get(s, "/api/state").Body.Bytes(), &body))
	require.Len(t, body.Nodes, 1)
	for _, key := range []string{"name", "long_name", "ip", "ports", "last_seen_ms", "lost", "software", "firmware", "mac", "esta", "oem", "indicators", "status", "report", "lines"} {
		require.Contains(t, body.Nodes[0], key)
	}
	var st session.State
	require.NoError(t, json.Unmarshal(get(s, "/api/state").Body.Bytes(), &st))
	require.Equal(t, []session.Node{node}, st.Nodes)
}

func TestSlowReaderIsCutAndTheOthersGoOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		s := newServer(t, d)
		l, _ := runOn(t, s)
		good := openPage(t, l.dial, nil)
		dialWebsocket(t, l.dial, nil) // never reads
		good.await("first state", isState)
		start := time.Now()
		d.change(func(st *session.State) { st.Fade = &session.Fade{} })
		synctest.Wait()
		require.Equal(t, 2, s.Clients())
		// Its first push may have begun one gap before the change or after it.
		time.Sleep(server.WriteWait - 50*time.Millisecond)
		require.Equal(t, 2, s.Clients())
		time.Sleep(100 * time.Millisecond)
		require.Equal(t, 1, s.Clients())
		require.Contains(t, get(s, "/metrics").Body.String(), `linkboy_ws_cut_total{reason="slow reader"} 1`)
		all := good.heardUntilNow()
		require.Greater(t, len(all), 60)
		last := start
		for _, h := range all {
			require.LessOrEqual(t, h.at.Sub(last), 41*time.Millisecond, "another page's trouble was felt")
			last = h.at
		}
	})
}

func TestReaderThatLagsGetsTheNewestOnly(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		conn := dialWebsocket(t, l.dial, nil)
		d.change(func(st *session.State) { st.Fade = &session.Fade{} })
		for i := range 50 {
			time.Sleep(40 * time.Millisecond)
			d.light(float64(i))
		}
		time.Sleep(80 * time.Millisecond)
		var frames []uint64
		for range 5 { // one was on its way since the start, then the newest of each kind
			kind, text, err := conn.ReadMessage()
			require.NoError(t, err)
			if kind == websocket.BinaryMessage && text[0] == 1 {
				_, frame, _ := readCells(t, text)
				frames = append(frames, frame)
			}
		}
		require.Equal(t, uint64(7+50), frames[len(frames)-1])
		require.LessOrEqual(t, len(frames), 2)
	})
}

func TestPageThatDoesNotAnswerPingsIsCut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, newFake())
		l, stop := runOn(t, s)
		alive, dead := openPage(t, l.dial, nil), openPageDeaf(t, l)
		time.Sleep(server.ReadWait - time.Millisecond)
		require.Equal(t, 2, s.Clients())
		time.Sleep(time.Minute)
		require.Equal(t, 1, s.Clients())
		require.Contains(t, get(s, "/metrics").Body.String(), `linkboy_ws_cut_total{reason="silent"} 1`)
		dead.leave()
		alive.leave()
		stop()
		require.Contains(t, get(s, "/metrics").Body.String(), "linkboy_ws_clients 0")
	})
}

// openPageDeaf connects a page that reads but leaves pings unanswered.
func openPageDeaf(t *testing.T, l *pipeListener) *testPageLink {
	p := &testPageLink{t: t, conn: dialWebsocket(t, l.dial, nil), all: make(chan heard, 1<<16), end: make(chan error, 1)}
	p.conn.SetPingHandler(func(string) error { return nil })
	p.done.Go(p.read)
	t.Cleanup(p.leave)
	return p
}

func TestVerbsThatCannotBeReadAreAnswered(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		for _, test := range []struct{ send, id, code, where, says string }{
			{`hello`, "null", "bad-json", "byte 1", "cannot be read"},
			{`{"id": 1, "verb": "cue"`, "null", "bad-json", "byte 23", "unexpected end"},
			{`[]`, "null", "bad-json", "", "not a JSON object"},
			{``, "null", "bad-json", "byte 0", "unexpected end"},
			{`{"verb": "ceu"}`, "null", "unknown-verb", "verb", `"cue"`},
			{`{"id": 2, "verb": "ceu", "look": "tide"}`, "2", "unknown-verb", "verb", `the nearest is "cue"`},
			{`{"id": 3, "verb": "dance"}`, "3", "unknown-verb", "verb", `"dance"`},
			{`{"id": 4}`, "4", "missing-field", "verb", "missing"},
			{`{"id": "a", "verb": "hold"}`, "null", "bad-value", "id", "whole number"},
			{`{"id": 1.5, "verb": "hold"}`, "null", "bad-value", "id", "whole number"},
			{`{"id": {"a": [1]}, "verb": "hold"}`, "null", "bad-value", "id", "whole number"},
			{`{"id": 5, "verb": "cue", "lok": "tide"}`, "5", "unknown-field", "lok", `"look"`},
			{`{"id": 6, "verb": "cue", "look": "tied"}`, "6", "unknown-look", "look", `"tied"`},
			{`{"id": 7, "verb": "ride", "at": 2}`, "7", "bad-value", "at", "0 to 1"},
			{`{"id": 8, "verb": "resume"}`, "8", "not-held", "", "held"},
			{`{"id": 9, "verb": "hold", "verb": "kill"}`, "null", "duplicate-field", "verb", "twice"},
		} {
			p.send("%s", test.send)
			h := p.await("answer to "+test.send, func(h heard) bool { return h.wire.Type == "answer" })
			require.Contains(t, string(h.text), `"id":`+test.id, test.send)
			require.False(t, h.wire.OK)
			require.Equal(t, test.code, h.wire.Error.Code, test.send)
			require.Equal(t, test.where, h.wire.Error.Where, test.send)
			require.Contains(t, h.wire.Error.Message, test.says)
			require.NotEmpty(t, h.wire.Error.Mend)
		}
		require.NoError(t, p.conn.WriteMessage(websocket.BinaryMessage, []byte{1, 2, 3}))
		h := p.await("answer", func(h heard) bool { return h.wire.Type == "answer" })
		require.Equal(t, "not-text", h.wire.Error.Code)
		require.Empty(t, d.verbs())

		p.send(`{"id": 99, "verb": "hold"}`) // the link has survived all that
		require.True(t, p.answer(99).wire.OK)
	})
}

func TestPageWithoutHopeIsSentAway(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, newFake())
		l, _ := runOn(t, s)
		p := openPage(t, l.dial, nil)
		for range server.MaxBadInARow - 1 {
			p.send("garbage")
		}
		p.send(`{"id": 1, "verb": "hold"}`) // one good message, and there is hope again
		require.True(t, p.answer(1).wire.OK)
		for range server.MaxBadInARow {
			p.send("garbage")
		}
		require.Equal(t, websocket.ClosePolicyViolation, p.closed())
		p.leave()
		synctest.Wait()
		require.Contains(t, get(s, "/metrics").Body.String(), `linkboy_ws_cut_total{reason="garbage"} 1`)
	})
}

func TestMessageTooLargeClosesTheLink(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		s := newServer(t, d)
		l, _ := runOn(t, s)
		p := openPage(t, l.dial, nil)
		padding := func(size int) string { return strings.Repeat(" ", size-len(`{"id": 1, "verb": "hold"}`)) }
		p.send(`{"id": 1, "verb": "hold"%s}`, padding(server.MaxMessageBytes))
		require.True(t, p.answer(1).wire.OK)
		// Fails when the daemon has closed the link before all is sent.
		_ = p.conn.WriteMessage(websocket.TextMessage, fmt.Appendf(nil, `{"id": 2, "verb": "kill"%s}`, padding(8<<20)))
		require.Equal(t, websocket.CloseMessageTooBig, p.closed())
		time.Sleep(2 * time.Second)
		require.Equal(t, []string{"hold"}, d.verbs())
		require.Zero(t, s.Clients())
		require.Contains(t, get(s, "/metrics").Body.String(), `linkboy_ws_cut_total{reason="message too large"} 1`)
	})
}

func TestRidingByThumbIsNeverRefused(t *testing.T) {
	for _, perSecond := range []int{60, 120} {
		synctest.Test(t, func(t *testing.T) {
			d := newFake()
			l, _ := runOn(t, newServer(t, d))
			p := openPage(t, l.dial, nil)
			n := 10 * perSecond
			for i := range n {
				p.send(`{"id": %d, "verb": "ride", "at": %g}`, i, float64(i)/float64(n))
				time.Sleep(time.Second / time.Duration(perSecond))
			}
			for i := range n {
				require.True(t, p.answer(int64(i)).wire.OK)
			}
			require.Len(t, d.verbs(), n)
		})
	}
}

func TestFloodIsAnsweredWithErrorsInOrder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		start := time.Now()
		const n = 5000
		for i := range n {
			p.send(`{"id": %d, "verb": "ride", "at": 0.5}`, i)
		}
		took := time.Since(start)
		synctest.Wait()
		refused, next := 0, int64(0)
		for _, h := range p.heardUntilNow() {
			if h.wire.Type != "answer" {
				continue
			}
			require.Equal(t, next, *h.wire.ID, "answers come in the order of the messages")
			next++
			if h.wire.Error != nil {
				require.Equal(t, "too-often", h.wire.Error.Code)
				refused++
			}
		}
		require.Equal(t, int64(n), next, "each has its answer")
		done := len(d.verbs())
		require.Equal(t, n, done+refused)
		require.InDelta(t, float64(server.MessagesAtOnce)+took.Seconds()*server.MessagesPerSecond, done, 2)

		time.Sleep(3 * time.Second) // and it is forgiven
		p.send(`{"id": -1, "verb": "hold"}`)
		require.True(t, p.answer(-1).wire.OK)
	})
}

func TestPageThatAsksAndNeverReadsIsCut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, newFake())
		l, _ := runOn(t, s)
		conn := dialWebsocket(t, l.dial, nil)
		var err error
		sent := 0
		for ; err == nil; sent++ {
			err = conn.WriteMessage(websocket.TextMessage, []byte(`{"verb": "hold"}`))
			require.Less(t, sent, 10*server.MaxAnswers)
		}
		require.GreaterOrEqual(t, sent, server.MaxAnswers)
		synctest.Wait()
		require.Zero(t, s.Clients())
	})
}

func TestNoMorePagesThanSeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, newFake())
		l, _ := runOn(t, s)
		pages := make([]*testPageLink, server.MaxClients)
		for i := range pages {
			pages[i] = openPage(t, l.dial, nil)
		}
		upgrade := map[string]string{"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13", "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ=="}
		w := ask(s, call{method: "GET", path: "/ws", header: upgrade})
		require.Equal(t, http.StatusServiceUnavailable, w.Code)
		code, _, _, _ := problemOf(t, w)
		require.Equal(t, "too-many-pages", code)
		pages[0].leave()
		synctest.Wait()
		openPage(t, l.dial, nil).leave()
		for _, p := range pages {
			p.leave()
		}
	})
}

func TestStoppingTellsPagesAndWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, newFake())
		l, stop := runOn(t, s)
		p := openPage(t, l.dial, nil)
		dialWebsocket(t, l.dial, nil) // never reads, so never learns of it
		p.await("first state", isState)
		start := time.Now()
		stop()
		require.LessOrEqual(t, time.Since(start), server.ByeWait)
		require.Equal(t, websocket.CloseGoingAway, p.closed())
		require.Zero(t, s.Clients())
		p.leave()

		w := ask(s, call{method: "GET", path: "/ws", header: map[string]string{"Connection": "Upgrade", "Upgrade": "websocket"}})
		require.Equal(t, http.StatusServiceUnavailable, w.Code)
	})
}

func TestStoppingLetsAnAnswerFinish(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		d.onCue = func() { time.Sleep(time.Second) } // a large rig to compile
		l, stop := runOn(t, newServer(t, d))
		conn, err := l.dial()
		require.NoError(t, err)
		_, err = io.WriteString(conn, "POST /api/cue HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 16\r\n\r\n{\"look\": \"tide\"}")
		require.NoError(t, err)
		synctest.Wait()
		got := make(chan string, 1)
		go func() {
			answer, _ := io.ReadAll(conn)
			got <- string(answer)
		}()
		stop()
		require.Contains(t, <-got, "HTTP/1.1 200 OK")
	})
}

func TestRequestsThatDawdleAreCut(t *testing.T) {
	for name, send := range map[string]string{
		"no request at all":      "",
		"headers without an end": "GET /api/state HTTP/1.1\r\nHost: localhost\r\nX: y",
		"a body without an end":  "POST /api/cue HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{",
	} {
		synctest.Test(t, func(t *testing.T) {
			d := newFake()
			l, _ := runOn(t, newServer(t, d))
			conn, err := l.dial()
			require.NoError(t, err)
			_, err = io.WriteString(conn, send)
			require.NoError(t, err)
			start := time.Now()
			_, err = io.ReadAll(conn)
			require.NoError(t, err, "the daemon closes the connection")
			require.LessOrEqual(t, time.Since(start), 11*time.Second, name)
			require.Empty(t, d.verbs())
		})
	}
}

func TestHeadersTooLargeAreRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, _ := runOn(t, newServer(t, newFake()))
		conn, err := l.dial()
		require.NoError(t, err)
		go func() {
			_, _ = fmt.Fprintf(conn, "GET / HTTP/1.1\r\nHost: localhost\r\nX: %s\r\n\r\n", strings.Repeat("y", 1<<20))
		}()
		answer, _ := io.ReadAll(conn)
		require.Contains(t, string(answer), "431") // RFC 6585 5
	})
}
