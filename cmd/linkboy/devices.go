package main

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/cues/rigcheck"
)

// How long a command waits for nodes: they answer a poll after a random while of
// up to a second, and must within three (Art-Net 4, ArtPoll).
const (
	nodesSoon = 1300 * time.Millisecond
	nodesLast = 3500 * time.Millisecond
)

// lampNetwork is the lamps' network as a command uses it that sends no light.
type lampNetwork struct {
	wire *link.Link
	rdm  *controller.Controller
}

// addNodes adds the flags that say where the nodes of the lamps are.
func (f *daemonFlags) addNodes(cmd *cobra.Command) {
	f.addNetwork(cmd)
	cmd.Flags().StringSliceVar(&f.artnetTo, "artnet-to", nil, "ask these IP addresses too, where nodes do not hear broadcasts")
}

// onNetwork opens the lamps' network, waits for its nodes, calls use, and gives
// the network up.
func onNetwork(ctx context.Context, f daemonFlags, use func(ctx context.Context, n *lampNetwork) error) error {
	f.rate = 44
	network, err := f.network()
	if err != nil {
		return err
	}
	var wire *link.Link // before anything is sent
	devices, err := controller.New(controller.Config{
		Send: func(to netip.AddrPort, p artnet.Packet) error { return wire.SendRDM(to, p) },
	})
	if err != nil {
		return err
	}
	wire, err = link.Open(link.Config{Interface: network.at, Port: network.port, To: network.to, RDM: devices.Receive})
	if err != nil {
		return mendedError{err, "give an address of this machine or an interface with --artnet-bind"}
	}
	if wire.FoundTaken() {
		return errors.Join(mendedError{
			fmt.Errorf("another program of this machine has the Art-Net address %s, and nodes would answer only one of the two", wire.Local()),
			"stop linkboy serve while lamps are addressed, or ask it at /api/devices; or give another address of this machine with --artnet-bind",
		}, wire.Close())
	}
	running, stop := context.WithCancel(context.WithoutCancel(ctx)) // use may have to put things right after ctx ended
	var group errgroup.Group
	group.Go(func() error { return wire.Run(running) })
	group.Go(func() error { return devices.Run(running) })
	n := &lampNetwork{wire, devices}
	err = n.awaitNodes(ctx, len(network.to))
	if err == nil {
		err = use(ctx, n)
	}
	stop()
	return errors.Join(err, group.Wait())
}

// awaitNodes waits until nodes had time to answer: shortly where some did, as
// long as the standard lets them where none did.
func (n *lampNetwork) awaitNodes(ctx context.Context, named int) error {
	began := time.Now()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for {
		waited := time.Since(began)
		switch found := len(n.gateways()); {
		case found > 0 && waited > nodesSoon && len(n.wire.Nodes()) >= named:
			return nil
		case waited > nodesLast && found > 0:
			return nil
		case waited > nodesLast:
			return mendedError{
				fmt.Errorf("no node has answered on the network of %s", n.wire.Local().Addr()),
				"check that nodes have power and are on this machine's network; give its address there with --artnet-bind, or name nodes with --artnet-to",
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-tick.C:
		}
	}
}

// gateways are the ports of the nodes that answer.
func (n *lampNetwork) gateways() []controller.Gateway { return gatewaysOf(n.wire.Nodes()) }

func gatewaysOf(nodes []link.NodeInfo) (all []controller.Gateway) {
	for _, node := range nodes {
		if node.Lost || node.Style == artnet.StyleController {
			continue
		}
		for _, a := range node.Ports {
			all = append(all, controller.Gateway{Node: node.Addr, PortAddress: a})
		}
	}
	return all
}

// foundDevices are the devices that are there, as the comparison takes them.
func foundDevices(all []controller.Device) (found []rigcheck.Device) {
	for _, d := range all {
		if !d.Lost {
			found = append(found, foundDevice(d))
		}
	}
	return found
}

func foundDevice(d controller.Device) rigcheck.Device {
	f := rigcheck.Device{
		UID: d.UID.String(), Node: d.Node.Addr().String(), Port: uint16(d.PortAddress), Asked: d.Asked, Trouble: d.Trouble,
		Footprint: int(d.Info.Footprint), Personality: int(d.Info.Personality), Label: d.Label, TakesLabel: d.Supports(rdm.PIDDeviceLabel),
		Model: d.Model, Maker: d.Maker,
	}
	if d.Info.StartAddress.Valid() {
		f.Start = int(d.Info.StartAddress)
	}
	for _, p := range d.Personalities {
		f.Personalities = append(f.Personalities, rigcheck.Personality{Number: int(p.Number), Slots: int(p.Slots), Text: string(p.Text)})
	}
	return f
}
