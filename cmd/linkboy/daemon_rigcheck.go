package main

import (
	"context"
	"slices"

	"linkboy/cues/rigcheck"
	"linkboy/cues/session"
	"linkboy/server"
)

// daemonRig compares what is lit with the lamps that the daemon has found, as
// `linkboy address` does.
type daemonRig struct {
	devices *daemonDevices
	set     *session.Session
}

// Check compares; it asks no lamp.
func (d *daemonRig) Check() server.RigCheck {
	a := d.compared()
	return a.answer(0)
}

// Apply sets what differs at these places, and compares again.
func (d *daemonRig) Apply(ctx context.Context, places []string) (server.RigCheck, error) {
	a := d.compared()
	set := a.apply(ctx, d.devices.rdm, func(r *rigcheck.Row) bool { return slices.Contains(places, r.Place) })
	a.compare(d.devices.rdm)
	return a.answer(set), ctx.Err()
}

func (d *daemonRig) compared() *addressing {
	show := d.set.Show()
	a := &addressing{show: show, loc: show.Location(d.set.Plan().Location)}
	a.compare(d.devices.rdm)
	return a
}
