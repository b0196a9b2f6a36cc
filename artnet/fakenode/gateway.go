package fakenode

import (
	"context"
	"net/netip"
	"slices"
	"sync"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/discover"
	"linkboy/artnet/rdm/responder"
)

const (
	// jobsMost is how many messages wait for a line; what comes on top is lost.
	jobsMost = 16
	// discoverEvery is how often a line is searched for what came and went.
	discoverEvery = 10 * time.Second
)

// gateway is the RDM side of one port: its line, its table of devices, and what
// waits for the line, which carries one message at a time.
type gateway struct {
	node *Node
	port artnet.PortAddress
	page uint8 // BindIndex
	line *responder.Line
	own  rdm.UID
	jobs chan job

	mu   sync.Mutex
	uids []rdm.UID
	done bool // a search has ended
}

// job is one thing to be done with the line.
type job struct {
	from    netip.AddrPort
	message []byte // to be passed on, with its START code; nil: search the line
	anew    bool   // the search starts from nothing
}

func newGateway(n *Node, port artnet.PortAddress, page uint8, line *responder.Line) *gateway {
	return &gateway{
		node: n, port: port, page: page, line: line, own: rdm.NewUID(artnet.PrototypeEsta, 0xfff00000|uint32(port)), jobs: make(chan job, jobsMost),
	}
}

// run searches the line at power-on and then does what comes, until ctx ends.
func (g *gateway) run(ctx context.Context) {
	again := time.NewTicker(discoverEvery)
	defer again.Stop()
	g.search(true)
	for {
		select {
		case <-ctx.Done():
			return
		case <-again.C:
			if g.search(false) {
				g.tell()
			}
		case j := <-g.jobs:
			if j.message != nil {
				g.pass(ctx, j)
				continue
			}
			g.search(j.anew)
			g.tell()
		}
	}
}

// owe hands the line a job. It never waits.
func (g *gateway) owe(j job) {
	select {
	case g.jobs <- j:
	default:
		g.node.count.rdmLost.Add(1)
	}
}

// forget drops the table at once; a search is to follow.
func (g *gateway) forget() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.uids, g.done = nil, false
}

// Send is what a search of the line needs.
func (g *gateway) Send(b []byte) []byte {
	answer, _ := g.line.Send(time.Now(), b)
	return answer
}

// search searches the line and reports whether the table changed.
func (g *gateway) search(anew bool) bool {
	g.mu.Lock()
	known := g.uids
	g.mu.Unlock()
	var found discover.Found
	if anew {
		found = discover.All(g, g.own)
	} else {
		found = discover.Again(g, g.own, known)
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	g.uids, g.done = found.UIDs, true
	return !slices.Equal(known, found.UIDs)
}

// pass puts a message on the line and sends back what is answered. A device
// that does not answer is told to nobody: how long to wait is the controller's
// business.
func (g *gateway) pass(ctx context.Context, j job) {
	answer, after := g.line.Send(time.Now(), j.message)
	if after > 0 {
		timer := time.NewTimer(after)
		defer timer.Stop()
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
		}
	}
	if len(answer) < 1+artnet.MinRdmMessage {
		return
	}
	free := uint8(jobsMost - len(g.jobs))
	g.node.send(&artnet.Rdm{PortAddress: g.port, FifoAvail: free, FifoMax: jobsMost, Message: answer[1:]}, j.from)
}

// tell broadcasts the table of devices, in blocks, or that there is none yet.
func (g *gateway) tell() {
	head := artnet.TodData{Port: 1, BindIndex: g.page, PortAddress: g.port}
	g.mu.Lock()
	uids, done := make([][6]byte, len(g.uids)), g.done
	for i, u := range g.uids {
		uids[i] = u
	}
	g.mu.Unlock()
	if !done {
		head.Response = artnet.TodResponseNak
		g.node.broadcast(&head)
		return
	}
	for _, block := range artnet.TodBlocks(head, uids) {
		g.node.broadcast(&block)
	}
}
