package server

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"time"

	"linkboy/server/osc"
)

// OSCDoor lets other programs run cues by messages of Open Sound Control 1.0 over UDP.
//
// The protocol has no way to tell who asks, so that whoever reaches the port can do what the
// addresses do: it is shut unless somebody opens it. Each message is answered to
// where it came from: /linkboy/accepted ADDRESS, or /linkboy/refused ADDRESS CODE MESSAGE
// MEND; /linkboy/state is answered by /linkboy/is. Patterns in addresses are
// refused. A bundle runs in its order when its time is not in the future; one that is to
// wait is refused, as two machines agree on no time that is good to a frame.
type OSCDoor struct {
	s      *Server
	conn   *net.UDPConn
	now    func() time.Time
	bucket *bucket
}

const (
	// oscPacketBytes is more than any message of ours needs.
	oscPacketBytes = 8 << 10
	// oscEarly is how far ahead a time tag may be: clocks differ.
	oscEarly = 50 * time.Millisecond
	// codeTimeTag, codeOSC are of OSC alone.
	codeTimeTag = "time-tag"
	codeOSC     = "bad-osc"
)

// OpenOSC opens the door at a UDP address, like 127.0.0.1:9000.
func (s *Server) OpenOSC(address string) (*OSCDoor, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil || host == "" {
		return nil, fmt.Errorf("cannot listen for OSC at %q: give an address of this machine and a port, like 127.0.0.1:9000", address)
	}
	at, err := net.ResolveUDPAddr("udp", address)
	if err != nil {
		return nil, fmt.Errorf("cannot listen for OSC at %q: %w", address, err)
	}
	conn, err := net.ListenUDP("udp", at)
	if err != nil {
		return nil, fmt.Errorf("cannot listen for OSC at %s: %w; is another program there?", address, err)
	}
	return &OSCDoor{s: s, conn: conn, now: time.Now, bucket: newBucket(messagesPerSecond, messagesAtOnce)}, nil
}

// Addr is where it listens.
func (d *OSCDoor) Addr() net.Addr { return d.conn.LocalAddr() }

// Open tells whether others than this machine reach it.
func (d *OSCDoor) Open() bool { return !d.conn.LocalAddr().(*net.UDPAddr).IP.IsLoopback() }

// Run answers until ctx ends.
func (d *OSCDoor) Run(ctx context.Context) error {
	stop := context.AfterFunc(ctx, func() { _ = d.conn.Close() })
	defer stop()
	buffer := make([]byte, oscPacketBytes)
	for {
		n, from, err := d.conn.ReadFromUDPAddrPort(buffer)
		switch {
		case ctx.Err() != nil:
			return nil
		case errors.Is(err, net.ErrClosed):
			return fmt.Errorf("OSC is not heard any more: %w", err)
		case err != nil:
			continue // an answer that nobody took comes back as one, on some systems
		}
		if d.bucket.take() { // else dropped: answers would only add to a flood
			d.hear(buffer[:n], from)
		}
	}
}

// hear does what a packet asks and answers it.
func (d *OSCDoor) hear(b []byte, from netip.AddrPort) {
	from = netip.AddrPortFrom(from.Addr().Unmap(), from.Port())
	packet, err := osc.Parse(b)
	switch {
	case errors.Is(err, osc.ErrStart) || len(b) == 0:
		return // no OSC: whoever it is would not know the answer
	case err != nil:
		d.answer(from, oscRefused("", &Problem{0, codeOSC, err.Error(), "", "send one packet of OSC 1.0 a datagram"}))
		return
	}
	d.do(packet, from)
}

func (d *OSCDoor) do(packet osc.Packet, from netip.AddrPort) {
	switch p := packet.(type) {
	case *osc.Message:
		if reply := d.obey(p, from); reply != nil {
			d.answer(from, reply)
		}
	case *osc.Bundle:
		if wait := p.Time.Until(d.now()); wait > oscEarly {
			d.answer(from, oscRefused("#bundle", &Problem{0, codeTimeTag, fmt.Sprintf("the bundle is to wait for %s", wait.Round(time.Millisecond)), "",
				"send it when it is to run, with the time tag of at once; count_in and delay wait here"}))
			return
		}
		for _, e := range p.Elements {
			d.do(e, from)
		}
	}
}

// obey does what a message asks; nil is no answer.
func (d *OSCDoor) obey(m *osc.Message, from netip.AddrPort) *osc.Message {
	switch m.Address {
	case oscRoot + "accepted", oscRoot + "refused", oscRoot + "is":
		return nil // another daemon answers: it must not be answered
	case oscRoot + "state":
		return oscState(d.s.director.State())
	}
	name, f, p := oscRequest(m, d.s.director)
	if p != nil {
		d.s.metrics.verbRefused(name, p)
		return oscRefused(m.Address, p)
	}
	if f == nil {
		return nil // a button that was let go
	}
	v, p := verbNamed(name)
	if p != nil {
		d.s.metrics.verbRefused(name, p)
		return oscRefused(m.Address, p)
	}
	if err := d.s.run(v, f, by(sourceOSC, from.String())); err != nil {
		p, known := asProblem(err)
		if !known {
			d.s.log.Error("verb failed", "verb", v.name, "error", err)
		}
		return oscRefused(m.Address, p)
	}
	return &osc.Message{Address: oscRoot + "accepted", Args: []any{m.Address}}
}

func oscRefused(address string, p *Problem) *osc.Message {
	return &osc.Message{Address: oscRoot + "refused", Args: []any{address, p.Code, p.Message, p.Mend}}
}

// answer sends a message; one that cannot be sent is as lost as any datagram.
func (d *OSCDoor) answer(to netip.AddrPort, m *osc.Message) {
	b, err := m.Append(nil)
	if err != nil { // a text with a zero in it
		d.s.log.Error("an OSC answer cannot be written", "error", err)
		return
	}
	_, _ = d.conn.WriteToUDPAddrPort(b, to)
}
