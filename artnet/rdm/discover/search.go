package discover

import (
	"encoding/binary"
	"slices"

	"linkboy/artnet/rdm"
)

// last is the highest UID of a device; above it are the broadcasts.
var last = rdm.NewUID(0xffff, 0xfffffffe)

// search is one search of a line.
type search struct {
	line        Line
	own         rdm.UID
	known       map[rdm.UID]bool
	transaction uint8
	sent, left  int
	noisy       bool
	buf         []byte
}

func (s *search) found() Found {
	f := Found{Messages: s.sent, Noisy: s.noisy}
	for u := range s.known {
		f.UIDs = append(f.UIDs, u)
	}
	slices.SortFunc(f.UIDs, rdm.UID.Compare)
	return f
}

func (s *search) add(u rdm.UID) {
	s.known[u] = true
	s.left += perDevice
}

// whole searches all UIDs until tries searches in a row find nobody new: an
// answer that was lost makes a range look empty.
func (s *search) whole() {
	for quiet := 0; quiet < tries; quiet++ {
		before := len(s.known)
		s.branch(rdm.UID{}, last)
		if len(s.known) > before {
			quiet = -1
		}
	}
}

// branch finds every device from lower to upper, both included, and reports
// whether anything was heard there. Devices that are found are muted, so the
// same range is asked until it is silent; only a collision halves it. Where two
// halves of a collision are both silent an answer was lost, and they are asked
// again.
func (s *search) branch(lower, upper rdm.UID) (heard bool) {
	for lost := 0; lost < tries; {
		answer := s.ask(lower, upper)
		if answer == nil {
			return heard
		}
		heard = true
		if lower == upper { // whatever it was, only one device can be here
			if !s.known[lower] && s.mute(lower) {
				s.add(lower)
			}
			return true
		}
		if s.single(answer, lower, upper) {
			continue
		}
		low, high := number(lower), number(upper)
		middle := low + (high-low)/2
		inLow := s.branch(lower, uid(middle))
		inHigh := s.branch(uid(middle+1), upper)
		if inLow || inHigh {
			return true
		}
		lost++
	}
	return heard
}

// single takes an answer that is one device's, if it is. A collision can look
// like a device that is not there, and a broken device goes on answering after
// it was muted: neither may end the search.
func (s *search) single(answer []byte, lower, upper rdm.UID) bool {
	u, err := rdm.ParseBranchReply(answer)
	inside := rdm.Branch{Lower: lower, Upper: upper}.Contains(u)
	if err != nil || !inside || s.known[u] || !s.mute(u) {
		return false
	}
	s.add(u)
	return true
}

// ask sends DISC_UNIQUE_BRANCH.
func (s *search) ask(lower, upper rdm.UID) []byte {
	data, _ := rdm.Branch{Lower: lower, Upper: upper}.AppendBinary(nil)
	return s.send(rdm.Broadcast(), rdm.PIDDiscUniqueBranch, data)
}

// mute mutes a device and reports whether it is there.
func (s *search) mute(u rdm.UID) bool {
	for range tries {
		answer := s.send(u, rdm.PIDDiscMute, nil)
		var m rdm.Message
		if answer != nil && m.Parse(answer) == nil && m.Source == u && m.Class == rdm.DiscoveryResponse && m.PID == rdm.PIDDiscMute {
			return true
		}
	}
	return false
}

// send gives what came back. Once the messages of the search are used up it
// sends nothing more.
func (s *search) send(to rdm.UID, pid rdm.PID, data []byte) []byte {
	if s.left--; s.left < 0 {
		s.noisy = true
		return nil
	}
	s.transaction++
	s.sent++
	m := rdm.Message{Destination: to, Source: s.own, Transaction: s.transaction, PortID: 1, Class: rdm.Discovery, PID: pid, Data: data}
	b, err := m.AppendBinary(s.buf[:0])
	if err != nil {
		return nil // 12 bytes always fit
	}
	s.buf = b
	return s.line.Send(b)
}

// number is a UID as the 48-bit number that discovery halves.
func number(u rdm.UID) uint64 { return uint64(u.Manufacturer())<<32 | uint64(u.Device()) }

func uid(n uint64) rdm.UID {
	var b [8]byte
	binary.BigEndian.PutUint64(b[:], n)
	return rdm.UID(b[2:])
}
