// Package discover finds the devices of a DMX512 line, as a gateway does before
// it can say which there are: ANSI E1.20 sections 7.1-7.4 (numbers from memory).
//
// Devices that are not muted and whose UID is in a range answer
// DISC_UNIQUE_BRANCH. One answer gives its UID, and DISC_MUTE both checks it and
// keeps the device out of what follows; several at once collide, and the range
// is halved. Nothing here keeps time or opens anything: the line does.
package discover

import "linkboy/artnet/rdm"

// Line sends one message and gives what came back until the line was quiet
// again: nil for nothing. Messages and answers start with the START code, save
// the answer to DISC_UNIQUE_BRANCH, which has none.
type Line interface {
	Send(b []byte) []byte
}

// Bounds of a search. A line that never stops making noise would otherwise be
// searched through all 2^48 UIDs.
const (
	// allowance and perDevice are how many messages a search may take: halving
	// 48 bits down to one device takes two messages a bit.
	allowance = 4096
	perDevice = 4 * 48
	// tries: an answer may be lost on a bad line.
	tries = 3
)

// Found is what a search gave.
type Found struct {
	UIDs     []rdm.UID // in order of UID
	Messages int       // sent
	// Noisy: the search was given up, as what came back never ended. There may
	// be more devices.
	Noisy bool
}

// All searches a line from nothing: every device is unmuted first. own is who
// asks.
func All(line Line, own rdm.UID) Found {
	s := search{line: line, own: own, known: make(map[rdm.UID]bool), left: allowance}
	s.send(rdm.Broadcast(), rdm.PIDDiscUnMute, nil)
	s.whole()
	return s.found()
}

// Again searches for what came and went since a search that found known: those
// are muted by name, and who does not answer is gone. It disturbs a line much
// less than All.
func Again(line Line, own rdm.UID, known []rdm.UID) Found {
	s := search{line: line, own: own, known: make(map[rdm.UID]bool), left: allowance + perDevice*len(known)}
	for _, u := range known {
		if s.mute(u) {
			s.add(u)
		}
	}
	s.whole()
	return s.found()
}
