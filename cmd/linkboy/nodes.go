package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"linkboy/artnet/link"
	"linkboy/artnet/survey"
	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/server"
)

// answersWithin is how long a look at the network takes: the standard's 3 s for
// an answer, and a little for the way.
const answersWithin = 3200 * time.Millisecond

// deviceJSON is one device as `nodes --json` prints it.
type deviceJSON struct {
	server.NodeInfo
	Style string `json:"style"` // node, controller ...
}

// surveyJSON is what `nodes --json` prints.
type surveyJSON struct {
	From     string            `json:"from"` // who asked
	Nodes    []deviceJSON      `json:"nodes"`
	Warnings []session.Warning `json:"warnings"`
}

func newNodes() *cobra.Command {
	f := daemonFlags{rate: 44}
	var watch, asJSON bool
	cmd := &cobra.Command{
		Use:   "nodes [SHOW [LOCATION]]",
		Short: "List the nodes on the lamps' network, and what is odd about them",
		Long: `Asks the lamps' network who is there (ArtPoll) and lists every device that answers
within 3 seconds: its name, address, port-addresses and what its status bits say.
With a show its rig is compared with what was found: lamps that no node serves,
nodes where no lamp is, two devices with one address, nodes that hear another
controller too. It sends no light.

A daemon that runs on this machine at the same address goes on meanwhile: it knows
that the answers come here, and gives no node up. Exit code 1 when nobody answers.`,
		Example: `  linkboy nodes
  linkboy nodes my-show first-place
  linkboy nodes --watch --artnet-bind 192.168.1.10
  linkboy nodes --artnet-bind 127.0.0.9          the node of linkboy demo`,
		Args: showAndLocation,
		RunE: func(cmd *cobra.Command, args []string) error {
			if watch && asJSON {
				return usageError{mendedError{errors.New("--watch and --json do not go together"), "leave one of them out"}}
			}
			place, err := surveyPlace(cmd, args)
			if err != nil {
				return err
			}
			network, err := f.network()
			if err != nil {
				return err
			}
			return lookAtNetwork(cmd, network, place, watch, asJSON)
		},
	}
	f.addNetwork(cmd)
	cmd.Flags().StringSliceVar(&f.artnetTo, "artnet-to", nil, "ask these IP addresses too")
	cmd.Flags().BoolVar(&watch, "watch", false, "go on, and say what changes, until Ctrl-C")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// showAndLocation allows nothing, a show, or a show and a location of it.
func showAndLocation(cmd *cobra.Command, args []string) error {
	if len(args) > 2 {
		return exactly("[SHOW [LOCATION]]")(cmd, args)
	}
	return nil
}

// surveyPlace is what the show named in args asks of the network: at one
// location, or at all of them.
func surveyPlace(cmd *cobra.Command, args []string) (survey.Place, error) {
	if len(args) == 0 {
		return survey.Place{}, nil
	}
	show, err := loadShow(cmd, args[0])
	if err != nil {
		return survey.Place{}, err
	}
	place := survey.Place{Used: portsOf(show), Show: portsOf(show), Lamps: lampsOn(show.Locations...)}
	if len(args) == 2 {
		loc := show.Location(args[1])
		if loc == nil {
			return place, usageError{mendedError{fmt.Errorf("there is no location %q in %s", args[1], args[0]), mendLocation(show, args[1])}}
		}
		place.Used, place.Lamps = portsAt(loc), lampsOn(loc)
	}
	return place, nil
}

// mendLocation names the location that was meant, or those there are.
func mendLocation(show *cues.Show, word string) string {
	var names []string
	for _, loc := range show.Locations {
		names = append(names, loc.Name)
	}
	if near := cues.Nearest(word, names); near != "" {
		return "did you mean " + near + "?"
	}
	return fmt.Sprintf("the locations are %v", names)
}

// lookAtNetwork polls and prints, once or until the command's context ends.
func lookAtNetwork(cmd *cobra.Command, n network, place survey.Place, watch, asJSON bool) error {
	// A broken network is told by the errors of polling; what the link would
	// log of nodes is what the table says.
	log := slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), &slog.HandlerOptions{Level: slog.LevelError}))
	wire, err := link.Open(link.Config{Interface: n.at, Port: n.port, To: n.to, Name: "linkboy nodes", Logger: log})
	if err != nil {
		return mendedError{err, "give an address of this machine with --artnet-bind"}
	}
	ctx, cancel := context.WithCancel(cmd.Context())
	defer cancel()
	group, ctx := errgroup.WithContext(ctx)
	group.Go(func() error { return wire.Run(ctx) })
	group.Go(func() error {
		defer cancel()
		if watch {
			watchNetwork(ctx, cmd.OutOrStdout(), wire, place)
			return nil
		}
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(answersWithin):
		}
		if wire.Shared() {
			fmt.Fprintf(cmd.ErrOrStderr(), "a program on this machine, perhaps the daemon, has the address %s too; the answers came here meanwhile\n", wire.Local())
		}
		return printSurvey(cmd.OutOrStdout(), wire, place, asJSON)
	})
	return group.Wait()
}

// printSurvey prints what was found.
func printSurvey(w io.Writer, wire *link.Link, place survey.Place, asJSON bool) error {
	found := surveyOf(wire, place)
	if asJSON {
		if err := writeJSON(w, found); err != nil {
			return err
		}
	} else if err := printDevices(w, found); err != nil {
		return err
	}
	if len(found.Nodes) == 0 {
		return mendedError{
			fmt.Errorf("nobody answered on %s, asked from %s", wireNetwork(wire), found.From),
			"check that the nodes have power, that this machine has an address on their network (--artnet-bind), that no firewall holds UDP port 6454; --artnet-to asks one address",
		}
	}
	return nil
}

// wireNetwork is where a poll by broadcast goes, for a person.
func wireNetwork(wire *link.Link) string {
	if b := wire.Broadcast(); b.IsValid() {
		return b.String()
	}
	return "this network"
}

// surveyOf is what a link knows now, and what is odd about it. Nobody at all is
// left to the caller.
func surveyOf(wire *link.Link, place survey.Place) surveyJSON {
	found := surveyJSON{From: wire.Local().String(), Nodes: []deviceJSON{}, Warnings: []session.Warning{}}
	nodes := wire.Nodes()
	for _, n := range nodes {
		found.Nodes = append(found.Nodes, deviceJSON{nodeInfo(n, false), n.Style.String()})
	}
	for _, w := range survey.Warnings(nodes, wire.Sources(), place) {
		if len(nodes) > 0 || w.Code != survey.NoNode {
			found.Warnings = append(found.Warnings, session.Warning{Code: string(w.Code), Message: w.Message, Why: w.Why, Where: w.Where, Mend: w.Mend})
		}
	}
	return found
}

// lookEvery is how often a watch looks for changes.
const lookEvery = 200 * time.Millisecond

// watchNetwork tells what changes until ctx ends: a table drawn anew on a
// terminal, a line a change elsewhere.
func watchNetwork(ctx context.Context, w io.Writer, wire *link.Link, place survey.Place) {
	terminal := isTerminal(w)
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	var last surveyJSON
	fmt.Fprintf(w, "asking %s from %s; Ctrl-C ends\n", wireNetwork(wire), wire.Local())
	began := time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := surveyOf(wire, place)
		if time.Since(began) < answersWithin {
			now.Warnings = last.Warnings // not all have had their time to answer
		}
		changes := changesBetween(last, now)
		last = now
		switch {
		case len(changes) == 0:
		case terminal:
			fmt.Fprint(w, "\x1b[H\x1b[2J") // ECMA-48: cursor home, erase all
			_ = printDevices(w, now)
			fmt.Fprintf(w, "\n%s, Ctrl-C ends\n", time.Now().Format(time.TimeOnly))
		default:
			for _, c := range changes {
				fmt.Fprintf(w, "%s %s\n", time.Now().Format(time.TimeOnly), c)
			}
		}
	}
}

// isTerminal reports whether what is written is seen by a person as it comes.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
