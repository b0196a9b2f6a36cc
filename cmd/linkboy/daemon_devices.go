package main

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/outlet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/server"
)

// showFor is how long a lamp shows itself when a page asks for it.
const showFor = time.Minute

// daemonDevices are the RDM devices as pages reach them. No lamp is asked
// anything unless a page does: messages between frames make some lamps flicker.
type daemonDevices struct {
	out     *outlet.Outlet
	rdm     *controller.Controller
	showing *controller.Showing
}

// newDaemonDevices makes them without a network, which out is to become.
func newDaemonDevices() (*daemonDevices, error) {
	d := &daemonDevices{}
	var err error
	d.rdm, err = controller.New(controller.Config{
		Send: func(to netip.AddrPort, p artnet.Packet) error { return d.out.SendRDM(to, p) },
	})
	if err != nil {
		return nil, err
	}
	d.showing = controller.NewShowing(d.rdm, showFor)
	return d, nil
}

// Run has lamps stop showing themselves, the last of them when ctx ends. Then it
// calls stop: the network must be open until here.
func (d *daemonDevices) Run(ctx context.Context, stop func()) error {
	defer stop()
	running, end := context.WithCancel(context.WithoutCancel(ctx))
	done := make(chan error, 1)
	go func() { done <- d.rdm.Run(running) }()
	err := d.showing.Run(ctx)
	end()
	return errors.Join(err, <-done)
}

// Search asks the network who is there and all devices what they are.
func (d *daemonDevices) Search(ctx context.Context) error {
	gateways := gatewaysOf(d.out.Nodes())
	if _, err := d.rdm.Discover(ctx, gateways); err != nil {
		return err
	}
	return d.rdm.MeasureAll(ctx, gateways)
}

// Identify has a device show itself, or stop.
func (d *daemonDevices) Identify(ctx context.Context, uid string, on bool) error {
	u, err := rdm.ParseUID(uid)
	if err == nil {
		err = d.showing.Identify(ctx, u, on)
	}
	if errors.Is(err, rdm.ErrUID) || errors.Is(err, controller.ErrUnknownDevice) {
		return fmt.Errorf("%w: %w", server.ErrNoDevice, err)
	}
	return err
}

// Devices lists what is known.
func (d *daemonDevices) Devices() (list []server.DeviceInfo) {
	for _, found := range d.rdm.Devices() {
		list = append(list, deviceInfo(found))
	}
	return list
}

// deviceInfo is a device in plain values and words.
func deviceInfo(d controller.Device) server.DeviceInfo {
	info := server.DeviceInfo{
		UID: d.UID.String(), Label: d.Label, Model: d.Model, Maker: d.Maker, Software: d.Software,
		Node: d.Node.Addr().String(), PortAddress: d.PortAddress.String(), Footprint: int(d.Info.Footprint), Personality: int(d.Info.Personality),
		Identify: d.Identify, Hours: (*uint32)(d.Hours), LampHours: (*uint32)(d.LampHours),
		LastSeenMS: time.Since(d.LastSeen).Milliseconds(), Lost: d.Lost, Asked: d.Asked, Trouble: d.Trouble,
	}
	if d.Info.StartAddress.Valid() {
		info.Start = int(d.Info.StartAddress)
	}
	for _, p := range d.Personalities {
		info.Personalities = append(info.Personalities, string(p.Text))
	}
	for _, s := range d.Sensors {
		info.Sensors = append(info.Sensors, server.SensorInfo{
			Name: string(s.Definition.Description), Kind: s.Definition.Type.String(), Value: s.Definition.Value(s.Value.Present),
			Unit: s.Definition.Unit.String(), Text: s.String(),
		})
	}
	return info
}
