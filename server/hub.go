package server

import (
	"net/http"
	"sync"
	"time"
)

// maxClients is the most pages at once; a set has a dozen.
const maxClients = 64

// byeWait is how long pages get to close their links when the daemon stops.
const byeWait = 2 * time.Second

// hub knows every page that is connected. It is safe for concurrent use and
// never waits for a page, but in close.
type hub struct {
	mu      sync.Mutex
	clients map[*client]struct{}
	seats   int // taken, by clients and by those about to be
	closed  bool
	members sync.WaitGroup
	arrived chan struct{} // holds a token after a page has been added
	looks   chan struct{} // holds a token after a page has begun to watch the meter
}

func newHub() *hub {
	return &hub{clients: map[*client]struct{}{}, arrived: make(chan struct{}, 1), looks: make(chan struct{}, 1)}
}

// enter takes a seat for a page to come. Each enter that is not refused must
// be followed by one leave.
func (h *hub) enter() *Problem {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		return &Problem{http.StatusServiceUnavailable, codeStopping, "the daemon is stopping", "/ws", "connect again when it is back"}
	}
	if h.seats >= maxClients {
		return &Problem{http.StatusServiceUnavailable, codeFull, "too many pages are connected", "/ws", "close pages that nobody looks at"}
	}
	h.seats++
	h.members.Add(1)
	return nil
}

// add lets the page on its seat have every push from now on. A hub that has
// closed meanwhile sends it away.
func (h *hub) add(c *client) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.clients[c] = struct{}{}
	if h.closed {
		c.dismiss()
	}
	select {
	case h.arrived <- struct{}{}:
	default:
	}
}

// leave gives back a seat; c is nil when nobody came to sit on it.
func (h *hub) leave(c *client) {
	h.mu.Lock()
	if c != nil {
		delete(h.clients, c)
	}
	h.seats--
	h.mu.Unlock()
	h.members.Done()
}

// count gives how many pages are connected.
func (h *hub) count() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.clients)
}

// publish offers m to every page and lets go of it.
func (h *hub) publish(slot int, m *push) {
	h.mu.Lock()
	for c := range h.clients {
		c.offer(slot, m)
	}
	h.mu.Unlock()
	m.release()
}

// close sends every page away and waits until all have left. Nobody enters
// afterwards.
func (h *hub) close() {
	h.mu.Lock()
	h.closed = true
	for c := range h.clients {
		c.dismiss()
	}
	h.mu.Unlock()
	late := time.AfterFunc(byeWait, h.cutAll)
	h.members.Wait()
	late.Stop()
}

func (h *hub) cutAll() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.clients {
		c.cut("")
	}
}
