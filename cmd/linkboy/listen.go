package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"linkboy/artnet/listen"
	"linkboy/artnet/sacn"
)

// universesMost is how many sACN universes can be asked for: each is a group
// that every switch on the way must learn.
const universesMost = 512

// defaultUniverses are listened for when neither universes nor a show are named.
const defaultUniverses = "1-16"

type listenFlags struct {
	network   daemonFlags
	sacnPort  int
	universes string
	seconds   float64
	asJSON    bool
}

func newListen() *cobra.Command {
	f := listenFlags{network: daemonFlags{rate: 44}}
	cmd := &cobra.Command{
		Use:   "listen [SHOW [LOCATION]]",
		Short: "Show what levels arrive on this machine, over Art-Net and sACN",
		Long: `Listens on this machine and shows, for every universe, who sends to it: address and
name, rate, packets out of order, priority, and which slots changed. It answers the
question whether anything comes out at all. It sends nothing and drives nothing.

Only what is sent to this machine can be seen here: name it with --artnet-to in
linkboy serve, or run this on the machine that the frames are sent to. Multicast of
sACN is joined for --universes, or for those of a show. A program on this machine
that has an Art-Net address of its own loses nothing to it; with --artnet-bind, which
takes that very address, it does.

With --seconds it prints one table at the end; exit code 1 when nothing came.`,
		Example: `  linkboy listen
  linkboy listen --universes 1-4,291
  linkboy listen my-show first-place
  linkboy listen --seconds 5 --json`,
		Args: showAndLocation,
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	f.network.addNetwork(cmd)
	cmd.Flags().IntVar(&f.sacnPort, "sacn-port", sacn.Port, "UDP port of sACN")
	cmd.Flags().StringVar(&f.universes, "universes", "", "sACN universes, like 1-4,291 (default: those of the show, else "+defaultUniverses+")")
	cmd.Flags().Float64Var(&f.seconds, "seconds", 0, "listen for so long, then print once (with --json: 3)")
	cmd.Flags().BoolVar(&f.asJSON, "json", false, "print one JSON document")
	return cmd
}

func (f listenFlags) run(cmd *cobra.Command, args []string) error {
	n, err := f.network.network()
	if err != nil {
		return err
	}
	if f.sacnPort < 1 || f.sacnPort > 65535 {
		return usageError{mendedError{fmt.Errorf("--sacn-port %d is no UDP port", f.sacnPort), "use 5568, the port of the standard"}}
	}
	if f.seconds < 0 || f.seconds > 86400 {
		return usageError{mendedError{fmt.Errorf("--seconds %g is out of range", f.seconds), "use up to 86400, or leave it out to go on until Ctrl-C"}}
	}
	universes, err := f.chosenUniverses(cmd, args)
	if err != nil {
		return err
	}
	l, err := listen.Open(listen.Config{Interface: n.at, Port: n.port, SACNPort: f.sacnPort, Universes: universes})
	if err != nil {
		return mendedError{err, "give an address of this machine with --artnet-bind, or stop the program that holds the port for itself"}
	}
	for _, refused := range l.Refused() {
		fmt.Fprintf(cmd.ErrOrStderr(), "sACN multicast will not come: %v\n", refused)
	}
	if l.Shared() {
		fmt.Fprintf(cmd.ErrOrStderr(), "another program has %s too: what is sent there by unicast reaches only one of the two\n", l.Local())
	}
	if f.asJSON && f.seconds == 0 {
		f.seconds = 3
	}
	ctx, cancel := context.WithCancel(cmd.Context())
	defer cancel()
	group, ctx := errgroup.WithContext(ctx)
	group.Go(func() error { return l.Run(ctx) })
	group.Go(func() error {
		defer cancel()
		if f.seconds == 0 {
			showArrivals(ctx, cmd.OutOrStdout(), l, universes)
			return nil
		}
		select {
		case <-ctx.Done():
		case <-time.After(time.Duration(f.seconds * float64(time.Second))):
		}
		return printArrivals(cmd.OutOrStdout(), l, universes, f.asJSON)
	})
	return group.Wait()
}

// chosenUniverses are those of sACN to join: asked for, else of the show.
func (f listenFlags) chosenUniverses(cmd *cobra.Command, args []string) ([]sacn.Universe, error) {
	place, err := surveyPlace(cmd, args)
	if err != nil {
		return nil, err
	}
	if f.universes == "" && len(args) > 0 {
		var universes []sacn.Universe
		for _, a := range place.Used {
			if u := sacn.Universe(a); u.Valid() { // universe n carries port-address n; 0 has none
				universes = append(universes, u)
			}
		}
		return universes[:min(len(universes), universesMost)], nil
	}
	if f.universes == "" {
		f.universes = defaultUniverses
	}
	return parseUniverses(f.universes)
}

// parseUniverses reads "1-4,291".
func parseUniverses(text string) ([]sacn.Universe, error) {
	bad := func(part string) error {
		return usageError{mendedError{fmt.Errorf("--universes: %q is no universe of sACN", part), "write numbers from 1 to 63999 and ranges of them, like 1-4,291"}}
	}
	var universes []sacn.Universe
	for part := range strings.SplitSeq(text, ",") {
		first, last, ranged := strings.Cut(strings.TrimSpace(part), "-")
		if !ranged {
			last = first
		}
		a, errA := strconv.ParseUint(first, 10, 16)
		b, errB := strconv.ParseUint(last, 10, 16)
		if errA != nil || errB != nil || !sacn.Universe(a).Valid() || !sacn.Universe(b).Valid() || a > b {
			return nil, bad(part)
		}
		for u := a; u <= b && len(universes) <= universesMost; u++ {
			universes = append(universes, sacn.Universe(u))
		}
	}
	slices.Sort(universes)
	universes = slices.Compact(universes)
	if len(universes) > universesMost {
		return nil, usageError{mendedError{fmt.Errorf("--universes asks for more than %d", universesMost), "ask for fewer at a time"}}
	}
	return universes, nil
}

// printArrivals prints once what has come.
func printArrivals(w io.Writer, l *listen.Listener, universes []sacn.Universe, asJSON bool) error {
	now := time.Now()
	streams := l.Look(now)
	if asJSON {
		if err := writeJSON(w, arrivalsOf(l, streams, universes, now)); err != nil {
			return err
		}
	} else if len(streams) > 0 {
		if err := printStreams(w, streams, now); err != nil {
			return err
		}
	}
	if len(streams) == 0 {
		return mendedError{errors.New("no levels arrived here" + alsoCame(l.Counts())), mendSilence}
	}
	return nil
}

// mendSilence says what to check when nothing comes.
const mendSilence = "check that the sender sends to an address of this machine, or by multicast to one of the universes listened for, that both are on one network, and that no firewall holds UDP ports 6454 and 5568"

// alsoCame says what came beside levels, so that a person knows that the
// network is there.
func alsoCame(c listen.Counts) string {
	if !c.Any() {
		return ", nor anything else"
	}
	return fmt.Sprintf("; of other packets %s, %s, %d others and %d that cannot be read",
		plural(int(c.ArtPoll), "ArtPoll"), plural(int(c.SACNDiscovery), "universe list"), c.ArtPollReply+c.ArtSync+c.ArtOther+c.SACNSync, c.Bad)
}
