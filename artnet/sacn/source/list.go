package source

import (
	"context"
	"slices"
	"time"

	"linkboy/artnet/sacn"
)

// gather is how long a change of the universes waits for others, before it is
// told between two lists that are due anyway.
const gather = 500 * time.Millisecond

// publish makes the list of live universes anew. It allocates, once per change.
func (s *Source) publish() {
	list := make([]sacn.Universe, 0, len(s.sender.live)+1)
	for _, p := range s.sender.live {
		list = append(list, p.universe)
	}
	if s.cfg.Sync != 0 && len(list) > 1 && !slices.Contains(list, s.cfg.Sync) {
		list = append(list, s.cfg.Sync)
	}
	s.universes.Store(&list)
	select {
	case s.listed <- struct{}{}:
	default: // keepListing knows already
	}
}

// Universes lists what is transmitted now, the synchronization address among
// it. It is empty when no frame came for as long as receivers take for the end.
func (s *Source) Universes() []sacn.Universe {
	if time.Since(time.Unix(0, s.lastFrame.Load())) > sacn.DataLossTimeout {
		return nil
	}
	return slices.Sorted(slices.Values(*s.universes.Load()))
}

// keepListing sends the list every DiscoveryInterval, and once in between when it
// has changed. A source that sends nothing says so once and is silent then.
func (s *Source) keepListing(ctx context.Context) {
	timer := time.NewTicker(sacn.DiscoveryInterval)
	defer timer.Stop()
	var soon <-chan time.Time
	extra := true // may still be sent in this interval
	told := false // the last list had universes
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.listed:
			if extra && soon == nil {
				soon = time.After(gather)
			}
			continue
		case <-soon:
			soon, extra = nil, false
		case <-timer.C:
			soon, extra = nil, true
		}
		list := s.Universes()
		if len(list) > 0 || told {
			s.sendList(list)
		}
		told = len(list) > 0
	}
}

// sendList sends universe discovery. Failing is counted; the next is due soon.
func (s *Source) sendList(list []sacn.Universe) {
	pages, err := sacn.DiscoveryPages(s.cfg.CID, s.name, list)
	if err != nil {
		s.cfg.Logger.Error("cannot list the sACN universes", "error", err)
		return
	}
	w := *s.current.Load()
	to := groupOf(sacn.DiscoveryUniverse)
	for i := range pages {
		b, err := pages[i].AppendBinary(nil)
		if err == nil {
			err = w.SetWriteDeadline(time.Now().Add(sendWithin)) // that of the last frame is over
		}
		if err == nil {
			err = w.WriteToAddrPort(b, to)
		}
		if err != nil {
			_ = s.fault(to, err)
			continue
		}
		s.count.lists.Add(1)
	}
}
