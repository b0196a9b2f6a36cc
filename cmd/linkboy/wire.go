package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/netip"
	"path/filepath"
	"runtime/debug"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outlet"
	"linkboy/cues"
	"linkboy/cues/play/rtwait"
	"linkboy/cues/session"
	"linkboy/cues/showfile/edit"
	"linkboy/server"
)

// stateFile is where a show keeps what was on when it stopped.
const stateFile = "state.json"

// runDaemon wires the rooms and runs them until the command's context ends.
// With a software rig, lamps' data goes to a node on this machine.
func runDaemon(cmd *cobra.Command, editor *edit.Editor, f daemonFlags, software bool) error {
	show := editor.Show()
	network, err := f.network()
	if err != nil {
		return err
	}
	spareTheLoop()
	log := slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), nil))
	group, ctx := errgroup.WithContext(cmd.Context())

	if software {
		network, err = startRig(ctx, group, show, f.location, network)
		if err != nil {
			return err
		}
	}
	lighter, err := daemonLight(show, f, log)
	if err != nil {
		return err
	}
	files := newShelf(editor, log, cmd.OutOrStdout(), cmd.ErrOrStderr())
	devices, err := newDaemonDevices()
	if err != nil {
		return err
	}
	var set *session.Session // before out.Run, which hears code
	out := outlet.New(outlet.Config{
		Interface: network.at, To: network.to, Port: network.port, Show: f.identity(show), Logger: log,
		TimeCode: func(from netip.AddrPort, code *artnet.TimeCode) { takeTimecode(set, from, code) },
		RDM:      devices.rdm.Receive,
	})
	devices.out = out
	defer out.Close()
	takes := takesOf(show, log)
	set, err = openSession(cmd, show, f, out, lighter, takes.session(devices, networkWarnings(out, func() *cues.Show { return set.Show() })), log)
	if err != nil {
		return err
	}
	files.set = set
	if err := out.Open(); err != nil {
		return mendedError{err, "give an address of this machine or an interface with --artnet-bind; only one program can hold the Art-Net port of an address"}
	}
	page, err := server.New(server.Config{
		Director: set, Devices: devices, RigCheck: &daemonRig{devices, set}, Nodes: func() []server.NodeInfo { return nodesOf(out, software) },
		Warnings: networkWarnings(out, set.Show), Files: files.files, Listen: f.listen, Logger: log, Version: version(),
		Light: func() server.Light { return lightOf(set) }, Takes: takes.server(), Photo: newPhotoCleaner().clean, Meter: meterOf(set),
		Editor: newShowEditor(files), Haze: hazeOf(set), Stills: stillsOf(set),
	})
	if err != nil {
		return usageError{err}
	}
	if _, err := page.Listen(); err != nil {
		return err
	}

	door, err := openOSC(page, f.osc)
	if err != nil {
		return err
	}

	linked, unlink := context.WithCancel(context.WithoutCancel(ctx)) // until lamps have stopped showing themselves
	group.Go(func() error { return out.Run(linked) })
	stopped := make(chan struct{}) // and the set has stopped its fog
	group.Go(func() error { return devices.Run(ctx, func() { <-stopped; unlink() }) })
	group.Go(func() error {
		return takes.run(ctx, func(ctx context.Context) error { defer close(stopped); return set.Run(ctx) })
	})
	group.Go(func() error { return page.Run(ctx) })
	group.Go(func() error { quicken(ctx, page, log); return nil })
	if door != nil {
		group.Go(func() error { return door.Run(ctx) })
	}
	greet(cmd.OutOrStdout(), show, set.Plan(), out, page)
	group.Go(func() error { return files.Run(ctx) })
	greetOSC(cmd.OutOrStdout(), door)
	if err := group.Wait(); err != nil && !errors.Is(err, context.Canceled) {
		return err
	}
	return nil
}

// openSession opens the show where it stopped.
func openSession(cmd *cobra.Command, show *cues.Show, f daemonFlags, out *outlet.Outlet, lighter session.Lighter, kept func(*session.Config), log *slog.Logger) (*session.Session, error) {
	statePath := ""
	if show.Dir != "" {
		statePath = filepath.Join(show.Dir, stateFile)
	}
	cfg := session.Config{
		Show: show, Location: f.location, Output: out, Preview: out.Preview(), Waiter: rtwait.New(tellPriority(log)),
		Rate: f.rate, Dry: f.dry, StatePath: statePath, Lighter: lighter, Logger: log,
		Arrive: func(loc *cues.Location) { out.Use(outputsOf(loc, f.sacn, log)) },
	}
	kept(&cfg)
	set, problems, err := session.Open(cfg)
	printProblems(cmd.ErrOrStderr(), show.Dir, problems)
	var refused *session.Refusal
	switch {
	case errors.As(err, &refused):
		return nil, usageError{mendedError{fmt.Errorf("%s", refused.Message), refused.Mend}}
	case err != nil:
		return nil, err
	case problems.HasErrors():
		return nil, errBadShow
	}
	return set, nil
}

// startRig starts a software node that puts out every port-address of the
// show, with an RDM device for every lamp, on the loopback address after the
// controller's. Where polls cannot find it there, frames are sent to it by name.
func startRig(ctx context.Context, group *errgroup.Group, show *cues.Show, location string, n network) (network, error) {
	bind := demoAddr()
	if n.at != "" {
		at, err := interfaceOf(n.at)
		if err != nil {
			return n, usageError{mendedError{err, "leave --artnet-bind out"}}
		}
		bind = at.Addr()
	}
	if !bind.IsLoopback() {
		return n, usageError{mendedError{fmt.Errorf("the software rig stays on this machine, and %s is not of it", bind), "leave --artnet-bind out, or run your own show with linkboy serve"}}
	}
	n.at = bind.String()
	lines, err := linesOf(show, location)
	if err != nil {
		return n, err
	}
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(bind.Next(), uint16(n.port)), Ports: portsOf(show), Lines: lines, Name: "software rig",
	})
	if err != nil {
		return n, mendedError{err, "another program, perhaps another demo, holds the Art-Net port there: stop it, or give --artnet-bind 127.0.0.11"}
	}
	group.Go(func() error { return node.Run(ctx) })
	if !node.Discoverable() && len(n.to) == 0 {
		n.to = []netip.AddrPort{node.Addr()}
	}
	return n, nil
}

// demoAddr is the controller's address in a demo: 127.0.0.2, which leaves
// 127.0.0.1 to other Art-Net programs on this machine, or 127.0.0.1 where
// loopback has no other address (macOS).
func demoAddr() netip.Addr {
	own := netip.AddrFrom4([4]byte{127, 0, 0, 2})
	probe, err := net.ListenPacket("udp4", netip.AddrPortFrom(own, 0).String())
	if err != nil {
		return own.Prev()
	}
	_ = probe.Close()
	return own
}

// greet says what runs and where.
func greet(w io.Writer, show *cues.Show, plan session.Plan, out *outlet.Outlet, page *server.Server) {
	cells := 0
	for _, lamp := range plan.Lamps {
		cells += len(lamp.Cells)
	}
	fmt.Fprintf(w, "%s at %s: %s, %s here; %s in all\n", show.Title, plan.Location,
		plural(len(plan.Lamps), "lamp"), plural(cells, "cell"), plural(len(show.Locations), "location"))
	for _, line := range out.Lines() {
		fmt.Fprintln(w, line)
	}
	fmt.Fprintf(w, "page: %s\n", page.URL())
	for _, other := range page.URLs()[1:] {
		fmt.Fprintf(w, "  or: %s\n", other)
	}
	if code := page.Code(); code != "" {
		fmt.Fprintf(w, "pairing code: %s\n", code)
	}
	printQR(w, page.URL())
	fmt.Fprintln(w, "Ctrl-C stops; lamps keep what they last got for as long as their nodes hold it. sACN receivers are told that it ends.")
}

// version is what the build says it is of; "(devel)" for a build from a working tree.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return info.Main.Version
	}
	return ""
}
