package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"log/slog"
	"sync"

	"linkboy/colour/transport"
	"linkboy/cues/session"
	"linkboy/server"
)

// demoLight computes the light of the demo's locations in the daemon's own process.
// That may make frames late, which lamps would show: it is for the software rig only.
type demoLight struct {
	set  *session.Session
	log  *slog.Logger
	mu   sync.Mutex
	now  server.Light
	kept map[string]server.Light // finished, by location
}

func newDemoLight(set *session.Session, log *slog.Logger) *demoLight {
	return &demoLight{set: set, log: log, now: server.Light{Stage: computing}, kept: map[string]server.Light{}}
}

// computing is the stage before there is any light.
const computing = "computing"

// Light gives what there is now.
func (d *demoLight) Light() server.Light {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now
}

func (d *demoLight) put(l server.Light) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.now = l
}

// Run computes the light of each location that comes on until ctx ends.
func (d *demoLight) Run(ctx context.Context) error {
	changed, cancel := d.set.Subscribe()
	defer cancel()
	location, stop := "", func() {}
	defer func() { stop() }()
	var work sync.WaitGroup
	defer work.Wait()
	for {
		if now := d.set.State().Location; now != location {
			stop()
			work.Wait()
			location = now
			var own context.Context
			own, stop = context.WithCancel(ctx)
			work.Go(func() { d.compute(own, now) })
		}
		select {
		case <-ctx.Done():
			stop()
			return nil
		case <-changed:
		}
	}
}

// compute works out the light of a location, unless that is known.
func (d *demoLight) compute(ctx context.Context, location string) {
	if l, known := d.kept[location]; known {
		d.put(l)
		return
	}
	d.put(server.Light{Stage: computing})
	set, _, err := d.set.Stage()
	if err != nil {
		d.log.Error("no light for this location", "location", location, "error", err)
		return
	}
	var newest server.Light
	_, err = transport.Compute(ctx, &set.Place, transport.Options{Workers: 1, Progress: func(stage transport.Stage, m *transport.Map) {
		encoded, err := m.AppendBinary(nil)
		if err != nil {
			d.log.Error("light cannot be sent", "location", location, "error", err)
			return
		}
		sum := sha256.Sum256(encoded)
		newest = server.Light{Stage: string(stage), Hash: hex.EncodeToString(sum[:16]), Encoded: encoded}
		d.put(newest)
	}})
	switch {
	case ctx.Err() != nil:
	case err != nil:
		d.log.Error("light not computed", "location", location, "error", err)
	default:
		d.kept[location] = newest
	}
}
