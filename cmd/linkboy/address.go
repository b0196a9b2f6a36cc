package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/cues"
	"linkboy/cues/rigcheck"
)

// errDiffers says that the rig is not as the plan has it, which has been
// printed.
var errDiffers = errors.New("the rig is not as the plan has it")

// addressFlags are those of `linkboy address`.
type addressFlags struct {
	daemonFlags
	yes, asJSON, search bool
	pairs               []string
}

func newAddress() *cobra.Command {
	var f addressFlags
	cmd := &cobra.Command{
		Use:   "address SHOW [LOCATION]",
		Short: "Compare the lamps on the network with the plan, and set what differs after a yes",
		Long: `Asks every device on the network by RDM what it is and compares it with the rig of
a location: address, mode (its personality) and label (the lamp's id in the kit).
Prints one list, asks, sets what differs, and reads back what each device took.
Exit code 0 when every lamp is right in the end, else 1.

A lamp is known by its uid in kit.yaml, else by its label, else by what it is where
only one lamp can be meant; lamps are never matched by chance. See which lamp a
device is with linkboy identify, and name it for once with --pair T3=7FF1:0000002A.

Do this at load-in: a lamp may jump or go dark for a moment while it is set.`,
		Example: `  linkboy address my-show first-place
  linkboy address my-show first-place --yes --json
  linkboy address my-show first-place --pair T3=7FF1:0000002A`,
		Args: exactly("SHOW", "[LOCATION]"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			loc, err := locationOf(show, args[1:])
			if err != nil {
				return err
			}
			hand, err := readPairs(show, f.pairs)
			if err != nil {
				return err
			}
			return onNetwork(cmd.Context(), f.daemonFlags, func(ctx context.Context, n *lampNetwork) error {
				return addressRig(ctx, cmd, n, &addressing{show: show, loc: loc, hand: hand}, &f)
			})
		},
	}
	f.addNodes(cmd)
	flags := cmd.Flags()
	flags.BoolVar(&f.yes, "yes", false, "set what differs without asking")
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON document; sets nothing without --yes")
	flags.BoolVar(&f.search, "search", false, "have nodes search their lines anew first; light may stutter meanwhile: never in a take")
	flags.StringSliceVar(&f.pairs, "pair", nil, "LAMP=UID: take this device for this lamp of the kit, for this once")
	return cmd
}

// locationOf is the location named, or the only one.
func locationOf(show *cues.Show, named []string) (*cues.Location, error) {
	var known []string
	for _, l := range show.Locations {
		known = append(known, l.Name)
	}
	if len(named) == 0 {
		if len(known) == 1 {
			return show.Locations[0], nil
		}
		return nil, usageError{mendedError{errors.New("the show has several locations"), "name one: " + strings.Join(known, ", ")}}
	}
	if loc := show.Location(named[0]); loc != nil {
		return loc, nil
	}
	return nil, noSuch("location", named[0], known)
}

// readPairs reads LAMP=UID.
func readPairs(show *cues.Show, pairs []string) (map[string]string, error) {
	var known []string
	for _, k := range show.Kit {
		known = append(known, k.ID)
	}
	hand := make(map[string]string)
	for _, text := range pairs {
		id, uid, ok := strings.Cut(text, "=")
		u, err := rdm.ParseUID(uid)
		if !ok || err != nil {
			return nil, usageError{mendedError{fmt.Errorf("--pair %q is not LAMP=UID", text), "write it like --pair T3=7FF1:0000002A"}}
		}
		if !slices.Contains(known, id) {
			return nil, noSuch("lamp of the kit", id, known)
		}
		hand[id] = u.String()
	}
	return hand, nil
}

// addressing is one comparison and what was set after it.
type addressing struct {
	show   *cues.Show
	loc    *cues.Location
	hand   map[string]string
	rows   []rigcheck.Row
	found  []controller.Device
	silent int // ports without RDM
	failed map[string]error
}

// addressRig compares, asks, sets, and compares again.
func addressRig(ctx context.Context, cmd *cobra.Command, n *lampNetwork, a *addressing, f *addressFlags) error {
	gateways := n.gateways()
	if f.search {
		if err := n.rdm.Flush(gateways); err != nil {
			return err
		}
	}
	silent, err := n.rdm.Discover(ctx, gateways)
	if err != nil {
		return err
	}
	a.silent = len(silent)
	a.compare(n.rdm)
	out := cmd.OutOrStdout()
	if !f.asJSON {
		if err := printRig(out, a); err != nil {
			return err
		}
	}
	set := 0
	if todo := a.changes(); todo > 0 && (f.yes || !f.asJSON && agreed(cmd.InOrStdin(), out, todo)) {
		set = a.apply(ctx, n.rdm, func(*rigcheck.Row) bool { return true })
		a.compare(n.rdm)
		if !f.asJSON {
			if err := printApplied(out, a, set, todo); err != nil {
				return err
			}
		}
	}
	if f.asJSON {
		if err := writeJSON(out, a.answer(set)); err != nil {
			return err
		}
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	for i := range a.rows {
		if !a.rows[i].Right() {
			return errDiffers
		}
	}
	return nil
}

func (a *addressing) compare(lamps *controller.Controller) {
	a.found = lamps.Devices()
	a.rows = rigcheck.Compare(a.show, a.loc, foundDevices(a.found), a.hand)
}

// changes counts the devices that are to be set.
func (a *addressing) changes() (n int) {
	for i := range a.rows {
		if a.rows[i].Changes() {
			n++
		}
	}
	return n
}

// apply sets what the rows that are wanted say, device by device, and counts those
// that took it.
func (a *addressing) apply(ctx context.Context, lamps *controller.Controller, wanted func(*rigcheck.Row) bool) (set int) {
	a.failed = make(map[string]error)
	for _, row := range a.rows {
		if !row.Changes() || ctx.Err() != nil || !wanted(&row) {
			continue
		}
		uid, err := rdm.ParseUID(row.UID)
		if err == nil {
			err = lamps.Apply(ctx, uid, controller.Settings{
				Personality: uint8(row.Change.Personality), Address: rdm.StartAddress(row.Change.Address), Label: row.Change.Label,
			})
		}
		if err != nil {
			a.failed[row.UID] = err
			continue
		}
		set++
	}
	return set
}

// agreed asks; anything but a yes is a no.
func agreed(in io.Reader, out io.Writer, devices int) bool {
	fmt.Fprintf(out, "set %s? [y/N] ", plural(devices, "device"))
	answer, _ := bufio.NewReader(in).ReadString('\n')
	answer = strings.ToLower(strings.TrimSpace(answer))
	if answer == "" {
		fmt.Fprintln(out)
	}
	return answer == "y" || answer == "yes"
}
