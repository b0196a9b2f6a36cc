package server

import (
	"sync"
	"sync/atomic"
)

// push is one encoded message on its way to any number of pages. Its bytes
// are re-used once the last holder has let go of it: 25 pushes a second must
// not feed the garbage collector in the process of the 44 Hz loop.
type push struct {
	kind    int // websocket message type
	data    []byte
	holders atomic.Int32
	home    *pushPool
}

// pushPool lends pushes. It is safe for concurrent use.
type pushPool struct{ pool sync.Pool }

// get lends an empty push with one holder.
func (p *pushPool) get(kind int) *push {
	m, ok := p.pool.Get().(*push)
	if !ok {
		m = &push{home: p}
	}
	m.kind, m.data = kind, m.data[:0]
	m.holders.Store(1)
	return m
}

// hold adds a holder and returns m. Only a holder may call it.
func (m *push) hold() *push {
	m.holders.Add(1)
	return m
}

// release ends one holding; m may be nil. The holder must not touch m again.
func (m *push) release() {
	if m == nil {
		return
	}
	if m.holders.Add(-1) == 0 {
		m.home.pool.Put(m)
	}
}
