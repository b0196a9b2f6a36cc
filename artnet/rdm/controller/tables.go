package controller

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
)

// Bounds against invented senders.
const (
	tablesMost  = 4096
	devicesMost = 1 << 16
)

// tableKey names a gateway's port, as Art-Net tells ports apart.
type tableKey struct {
	node       netip.AddrPort
	page, port uint8
	address    artnet.PortAddress
}

func (k tableKey) gateway() Gateway { return Gateway{k.node, k.address} }

// table is a table of devices as it comes in, block by block.
type table struct {
	total  int
	blocks map[uint8][]rdm.UID
	whole  uint64 // which of all whole tables it was last; 0 for none
}

// takeTable takes one block of a table of devices.
func (c *Controller) takeTable(from netip.AddrPort, p *artnet.TodData) {
	if p.Response != artnet.TodResponseFull {
		return // not there yet: Discover asks again
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	key := tableKey{from, max(p.BindIndex, 1), p.Port, p.PortAddress}
	t := c.tables[key]
	if t == nil {
		if len(c.tables) >= tablesMost {
			c.count.full.Add(1)
			return
		}
		t = &table{blocks: make(map[uint8][]rdm.UID)}
		c.tables[key] = t
	}
	if t.total != int(p.Total) {
		t.total = int(p.Total)
		clear(t.blocks)
	}
	block := make([]rdm.UID, len(p.UIDs))
	for i, u := range p.UIDs {
		block[i] = u
	}
	t.blocks[p.Block] = block
	if uids, whole := t.uids(); whole {
		c.tellings++
		t.whole = c.tellings
		clear(t.blocks)
		c.list(key, uids, time.Now())
		close(c.told)
		c.told = make(chan struct{})
	}
}

// uids are those of all blocks; whole reports whether none is missing.
func (t *table) uids() (all []rdm.UID, whole bool) {
	for i := range len(t.blocks) {
		block, there := t.blocks[uint8(i)]
		if !there {
			return nil, false
		}
		all = append(all, block...)
	}
	return all, len(all) == t.total
}

// list takes a whole table: its devices are there, and those that were on the
// same port and are not in it are lost. c.mu is held.
func (c *Controller) list(key tableKey, uids []rdm.UID, now time.Time) {
	for _, u := range uids {
		if u.IsBroadcast() || u == (rdm.UID{}) {
			continue
		}
		d := c.devices[u]
		if d == nil {
			if len(c.devices) >= devicesMost {
				c.count.full.Add(1)
				return
			}
			d = &device{turn: newTurn(), info: Device{UID: u}}
			c.devices[u] = d
			c.cfg.Logger.Info("found an RDM device", "uid", u, "node", key.node, "port-address", key.address)
		}
		d.key = key
		d.info.Node, d.info.PortAddress = key.node, key.address
		d.info.LastSeen, d.info.Lost = now, false
	}
	for u, d := range c.devices {
		if d.key == key && !d.info.Lost && !slices.Contains(uids, u) {
			d.info.Lost = true
			c.cfg.Logger.Warn("an RDM device is gone", "uid", u, "label", d.info.Label, "node", key.node, "port-address", key.address)
		}
	}
}

// Tables asks gateways for their tables of devices and waits until all have told
// them, or for TodWait. It starts no search. silent are those that told none:
// they have no RDM, or have it off. Devices of theirs count as lost.
func (c *Controller) Tables(ctx context.Context, gateways []Gateway) (silent []Gateway, err error) {
	c.mu.Lock()
	before := c.tellings
	c.mu.Unlock()
	give := time.NewTimer(c.cfg.TodWait)
	defer give.Stop()
	again := time.NewTicker(time.Second)
	defer again.Stop()
	silent = gateways
	if err := c.askTables(silent); err != nil {
		return silent, err
	}
	for {
		c.mu.Lock()
		told := c.told
		silent = c.silentSince(gateways, before)
		c.mu.Unlock()
		if len(silent) == 0 {
			return nil, nil
		}
		select {
		case <-ctx.Done():
			return silent, ctx.Err()
		case <-told:
		case <-again.C:
			if err := c.askTables(silent); err != nil {
				return silent, err
			}
		case <-give.C:
			c.loseAt(silent)
			return silent, nil
		}
	}
}

// silentSince are the gateways that told no whole table after the given one.
// c.mu is held.
func (c *Controller) silentSince(gateways []Gateway, before uint64) (silent []Gateway) {
	heard := make(map[Gateway]bool)
	for key, t := range c.tables {
		if t.whole > before {
			heard[key.gateway()] = true
		}
	}
	for _, g := range gateways {
		if !heard[g] {
			silent = append(silent, g)
		}
	}
	return silent
}

func (c *Controller) loseAt(gateways []Gateway) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, d := range c.devices {
		if slices.Contains(gateways, d.key.gateway()) {
			d.info.Lost = true
		}
	}
}

// askTables broadcasts ArtTodRequests for the port-addresses of gateways, up to
// 32 of one net in each.
func (c *Controller) askTables(gateways []Gateway) error {
	var addresses []artnet.PortAddress
	for _, g := range gateways {
		addresses = append(addresses, g.PortAddress)
	}
	slices.Sort(addresses)
	addresses = slices.Compact(addresses)
	var r artnet.TodRequest
	for i, a := range addresses {
		if len(r.Addresses) == 0 {
			r.Net = a.Net()
		}
		r.Addresses = append(r.Addresses, uint8(a))
		if last := i == len(addresses)-1; last || addresses[i+1].Net() != r.Net || len(r.Addresses) == artnet.MaxTodAddresses {
			if err := c.cfg.Send(netip.AddrPort{}, &r); err != nil {
				return fmt.Errorf("rdm: ask for tables of devices: %w", err)
			}
			r.Addresses = nil
		}
	}
	return nil
}

// Flush has gateways forget their tables and search their lines from nothing,
// which interrupts DMX512 on them: never in a take. The new tables come as the
// searches end; Tables asks for them.
func (c *Controller) Flush(gateways []Gateway) error {
	var bad error
	for _, g := range gateways {
		err := c.cfg.Send(g.Node, &artnet.TodControl{PortAddress: g.PortAddress, Command: artnet.TodControlFlush})
		if err != nil {
			bad = errors.Join(bad, fmt.Errorf("rdm: search port-address %v at %v: %w", g.PortAddress, g.Node.Addr(), err))
		}
	}
	return bad
}
