package main

import (
	"fmt"
	"net/netip"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/artnet"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// daemonFlags are the flags that demo and serve share.
type daemonFlags struct {
	listen     string
	location   string
	dry        bool
	artnetBind string
	artnetTo   []string
	artnetPort int
	sacn       bool
	rate       int
	light      string
	osc        string
	passing    bool // the show's folder is another at every start
}

func (f *daemonFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.listen, "listen", "127.0.0.1:4040", "address of the page; 0.0.0.0:4040 lets phones in, by pairing code")
	flags.StringVar(&f.location, "location", "", "location to start at (default: where it stopped, else the first)")
	flags.BoolVar(&f.dry, "dry", false, "dry run: everything runs, nothing is sent to the lamps")
	flags.StringSliceVar(&f.artnetTo, "artnet-to", nil, "send to these IP addresses instead of to the nodes that answer")
	f.addNetwork(cmd)
	flags.BoolVar(&f.sacn, "sacn", false, "send everything over sACN multicast as well, by the same interface")
	flags.StringVar(&f.osc, "osc", "", "take OSC 1.0 messages at this UDP address, like 127.0.0.1:9000 (default: none; OSC asks nobody for a code)")
	flags.IntVar(&f.rate, "rate", 44, "frames a second, 1 to 44")
	flags.StringVar(&f.light, "light", lightComputed, "light of a place: computed where it is not kept, or only kept, for a weak machine")
}

// addNetwork adds the flags that say where this machine is on the lamps' network.
func (f *daemonFlags) addNetwork(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.artnetBind, "artnet-bind", "", "own IP address on the lamps' network, or the name of the interface (default: chosen from this machine's)")
	flags.IntVar(&f.artnetPort, "artnet-port", artnet.Port, "UDP port of Art-Net")
}

// network is the checked form of the flags that concern the lamps' network.
type network struct {
	at   string // interface, by name or address; "" leaves the choice to artnet/link
	to   []netip.AddrPort
	port int
}

// network checks the network flags.
func (f *daemonFlags) network() (network, error) {
	w := network{port: f.artnetPort}
	if f.artnetPort < 1 || f.artnetPort > 65535 {
		return w, usageError{mendedError{fmt.Errorf("--artnet-port %d is no UDP port", f.artnetPort), "use 6454, the port of the standard"}}
	}
	if f.rate < 1 || f.rate > 44 {
		return w, usageError{mendedError{fmt.Errorf("--rate %d is out of range", f.rate), "use 1 to 44: a full DMX512 frame takes 22.7 ms"}}
	}
	if addr, err := netip.ParseAddr(f.artnetBind); err == nil && !addr.Is4() {
		return w, usageError{mendedError{fmt.Errorf("--artnet-bind %q is no IPv4 address", f.artnetBind), "give an address of this machine, like 192.168.1.10"}}
	}
	w.at = strings.TrimSpace(f.artnetBind)
	for _, text := range f.artnetTo {
		target, err := parseTarget(strings.TrimSpace(text), f.artnetPort)
		if err != nil {
			return w, err
		}
		w.to = append(w.to, target)
	}
	return w, nil
}

// parseTarget reads an IP address, with or without a port of its own.
func parseTarget(text string, port int) (netip.AddrPort, error) {
	if addr, err := netip.ParseAddr(text); err == nil && addr.Is4() {
		return netip.AddrPortFrom(addr, uint16(port)), nil
	}
	if target, err := netip.ParseAddrPort(text); err == nil && target.Addr().Is4() {
		return target, nil
	}
	return netip.AddrPort{}, usageError{mendedError{fmt.Errorf("--artnet-to %q is no IPv4 address", text), "give the nodes' addresses, like 192.168.1.21,192.168.1.22"}}
}

func newServe() *cobra.Command {
	var f daemonFlags
	cmd := &cobra.Command{
		Use:   "serve SHOW",
		Short: "Run a show: send its looks to the lamps and serve the page",
		Long: `Loads the show, starts in the look it had when it stopped, sends it over Art-Net to
the nodes that answer, and serves the page. Stop it with Ctrl-C: lamps keep what
they last got for as long as their nodes hold it. A location may say otherwise how
its universes travel (outputs: in its file); --sacn adds sACN where it says nothing
of it.

The page is reached from this machine only, unless --listen names another
address: then it asks for the pairing code that is printed here.`,
		Example: `  linkboy serve my-show
  linkboy serve my-show --listen 0.0.0.0:4040 --artnet-bind 192.168.1.10
  linkboy serve my-show --artnet-to 192.168.1.21`,
		Args: exactly("SHOW"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := openShow(cmd, args[0])
			if err != nil {
				return err
			}
			return runDaemon(cmd, show, f, false)
		},
	}
	f.add(cmd)
	return cmd
}

// loadShow loads a show and prints its problems; with errors it is refused.
func loadShow(cmd *cobra.Command, dir string) (*cues.Show, error) {
	show, problems := showfile.Load(dir)
	printProblems(cmd.ErrOrStderr(), dir, problems)
	if show == nil || problems.HasErrors() {
		return nil, errBadShow
	}
	return show, nil
}
