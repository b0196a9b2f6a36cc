package main

import (
	"context"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/listen"
	"linkboy/artnet/sacn"
)

// streamJSON is one source on one universe as `listen --json` prints it.
type streamJSON struct {
	Protocol   string  `json:"protocol"`
	Universe   string  `json:"universe"` // "net:sub-net:universe" of Art-Net, or the number of sACN
	From       string  `json:"from"`
	Name       string  `json:"name"`
	CID        string  `json:"cid,omitempty"`
	Physical   uint8   `json:"physical"`
	Priority   *uint8  `json:"priority"` // null for Art-Net, which has none
	Preview    bool    `json:"preview"`
	Sync       uint16  `json:"sync"` // 0: not synchronised
	Synced     bool    `json:"synced"`
	State      string  `json:"state"` // live, stopped, ended
	Counts     bool    `json:"counts"`
	Rate       float64 `json:"rate"`
	Packets    uint64  `json:"packets"`
	Disorder   uint64  `json:"out_of_order"`
	Others     uint64  `json:"other_start_codes"`
	LastSeenMS int64   `json:"last_seen_ms"`
	Slots      []byte  `json:"slots"` // base64, slot 1 first, as in /api/frames
}

// arrivalsJSON is what `listen --json` prints.
type arrivalsJSON struct {
	ArtNet    string          `json:"art_net"` // where it was listened for
	Universes []sacn.Universe `json:"sacn_universes"`
	Streams   []streamJSON    `json:"streams"`
	Lists     []listJSON      `json:"sacn_lists"`
	Bad       uint64          `json:"unreadable"`
}

type listJSON struct {
	From      string          `json:"from"`
	Name      string          `json:"name"`
	Universes []sacn.Universe `json:"universes"`
}

func arrivalsOf(l *listen.Listener, streams []listen.Stream, universes []sacn.Universe, now time.Time) arrivalsJSON {
	doc := arrivalsJSON{
		ArtNet: l.Local().String(), Universes: append([]sacn.Universe{}, universes...), Streams: []streamJSON{}, Lists: []listJSON{}, Bad: l.Counts().Bad,
	}
	for _, s := range streams {
		entry := streamJSON{
			Protocol: s.Protocol.String(), Universe: universeText(s), From: s.Addr.String(), Name: s.Name, Physical: s.Physical,
			Preview: s.Preview, Sync: uint16(s.Sync), Synced: s.Synced, State: s.State.String(), Counts: s.Counts, Rate: s.Rate,
			Packets: s.Packets, Disorder: s.Disorder, Others: s.Others, LastSeenMS: now.Sub(s.LastSeen).Milliseconds(), Slots: s.Slots,
		}
		if s.Protocol == listen.SACN {
			entry.Priority, entry.CID = &s.Priority, hex.EncodeToString(s.CID[:])
		}
		doc.Streams = append(doc.Streams, entry)
	}
	for _, list := range l.Lists(now) {
		doc.Lists = append(doc.Lists, listJSON{list.Addr.String(), list.Name, append([]sacn.Universe{}, list.Universes...)})
	}
	return doc
}

// printStreams prints a row a stream and under it what changed.
func printStreams(w io.Writer, streams []listen.Stream, now time.Time) error {
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	fmt.Fprintln(table, "UNIVERSE\tBY\tFROM\tNAME\tRATE\tSLOTS\tPRIORITY\tOUT OF ORDER\tSEEN\tIS")
	for _, s := range streams {
		priority := "-"
		if s.Protocol == listen.SACN {
			priority = fmt.Sprint(s.Priority)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%.1f/s\t%d\t%s\t%d\t%v ago\t%s\n", universeText(s), s.Protocol, s.Addr, orDash(s.Name),
			s.Rate, len(s.Slots), priority, s.Disorder, now.Sub(s.LastSeen).Round(100*time.Millisecond), standing(s))
	}
	if err := table.Flush(); err != nil {
		return err
	}
	for _, s := range streams {
		if len(s.Changed) > 0 {
			fmt.Fprintf(w, "%s from %s: %s\n", universeText(s), s.Addr, changedSlots(s.Changed))
		}
	}
	return nil
}

// universeText names a universe as its protocol does.
func universeText(s listen.Stream) string {
	if s.Protocol == listen.ArtNet {
		return artnet.PortAddress(s.Universe).String()
	}
	return fmt.Sprint(s.Universe)
}

// standing says in words how a stream stands.
func standing(s listen.Stream) string {
	words := []string{s.State.String()}
	if s.Preview {
		words = append(words, "preview, not for lamps")
	}
	if s.State == listen.Live && !s.Preview && !s.Counts && s.Packets > s.Others {
		words = append(words, "overruled by a higher priority")
	}
	if s.Others > 0 {
		words = append(words, fmt.Sprintf("%d with another START code", s.Others))
	}
	if s.Sync != 0 {
		sync := fmt.Sprintf("sync on %d", s.Sync)
		if !s.Synced {
			sync += ", which does not come"
		}
		words = append(words, sync)
	}
	return strings.Join(words, ", ")
}

// runsMost is how many runs of equal slots a line gives before it counts the rest.
const runsMost = 12

// changedSlots writes slots and their values, equal neighbours as one run:
// "1=255 2-4=0".
func changedSlots(changed []listen.Range) string {
	var runs []string
	slots, shown := 0, 0
	for _, r := range changed {
		slots += len(r.Values)
		for i := 0; i < len(r.Values); {
			j := i
			for j < len(r.Values) && r.Values[j] == r.Values[i] {
				j++
			}
			if len(runs) < runsMost {
				text := fmt.Sprintf("%d=%d", r.First+i, r.Values[i])
				if j > i+1 {
					text = fmt.Sprintf("%d-%d=%d", r.First+i, r.First+j-1, r.Values[i])
				}
				runs = append(runs, text)
				shown += j - i
			}
			i = j
		}
	}
	text := strings.Join(runs, " ")
	if more := slots - shown; more > 0 {
		text += " and " + plural(more, "more slot")
	}
	return text
}

// Times of showing what arrives.
const (
	showEvery   = time.Second
	silentAfter = 5 * time.Second // then it is said what to check
)

// showArrivals shows what arrives until ctx ends: a table every second on a
// terminal, a line for each piece of news elsewhere.
func showArrivals(ctx context.Context, w io.Writer, l *listen.Listener, universes []sacn.Universe) {
	fmt.Fprintf(w, "listening on %s for Art-Net, and for sACN on %s; Ctrl-C ends\n", l.Local(), universeList(universes))
	terminal := isTerminal(w)
	tick := time.NewTicker(showEvery)
	defer tick.Stop()
	began, silent := time.Now(), false
	var last []listen.Stream
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := time.Now()
		streams := l.Look(now)
		if len(streams) == 0 && !silent && now.Sub(began) >= silentAfter {
			silent = true
			fmt.Fprintf(w, "no levels yet%s\n  %s\n", alsoCame(l.Counts()), mendSilence)
		}
		switch {
		case terminal && len(streams) > 0:
			fmt.Fprint(w, "\x1b[H\x1b[2J") // ECMA-48: cursor home, erase all
			_ = printStreams(w, streams, now)
		case !terminal:
			for _, text := range newsOf(last, streams) {
				fmt.Fprintf(w, "%s %s\n", now.Format(time.TimeOnly), text)
			}
		}
		last = streams
	}
}

// newsOf says in a line each what there is to say since the last look.
func newsOf(last, now []listen.Stream) []string {
	type id struct {
		protocol listen.Protocol
		universe uint16
		source   string
	}
	idOf := func(s listen.Stream) id {
		return id{s.Protocol, s.Universe, fmt.Sprint(s.CID, s.Addr, s.Physical)}
	}
	before := map[id]listen.Stream{}
	for _, s := range last {
		before[idOf(s)] = s
	}
	var news []string
	for _, s := range now {
		was, known := before[idOf(s)]
		same := known && len(s.Changed) == 0 && s.Disorder == was.Disorder && standing(s) == standing(was) && s.Priority == was.Priority && s.Name == was.Name
		if same {
			continue
		}
		text := fmt.Sprintf("%s %s from %s", universeText(s), s.Protocol, s.Addr)
		if s.Name != "" {
			text += fmt.Sprintf(" %q", s.Name)
		}
		if s.Protocol == listen.SACN {
			text += fmt.Sprintf(", priority %d", s.Priority)
		}
		text += fmt.Sprintf(", %.1f/s, %s", s.Rate, standing(s))
		if s.Disorder > was.Disorder {
			text += fmt.Sprintf(", %d out of order", s.Disorder-was.Disorder)
		}
		if len(s.Changed) > 0 {
			text += ": " + changedSlots(s.Changed)
		}
		news = append(news, text)
	}
	return news
}

// universeList writes universes, neighbours as a range.
func universeList(universes []sacn.Universe) string {
	var parts []string
	for i := 0; i < len(universes); {
		j := i
		for j+1 < len(universes) && universes[j+1] == universes[j]+1 {
			j++
		}
		part := fmt.Sprint(universes[i])
		if j > i {
			part += "-" + fmt.Sprint(universes[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	if parts == nil {
		return "no universe"
	}
	return "universe " + strings.Join(slices.Clip(parts), ", ")
}
