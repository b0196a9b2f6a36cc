package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/cues"
)

// identifyFlags are those of `linkboy identify`.
type identifyFlags struct {
	daemonFlags
	show   string
	off    bool
	asJSON bool
	stay   time.Duration
}

// identifyAnswer is what `linkboy identify --json` prints.
type identifyAnswer struct {
	Devices []identified `json:"devices"`
}

type identified struct {
	UID      string `json:"uid"`
	Label    string `json:"label"`
	Model    string `json:"model"`
	Node     string `json:"node"`
	Address  string `json:"address"`
	Identify bool   `json:"identify"`
}

func newIdentify() *cobra.Command {
	var f identifyFlags
	cmd := &cobra.Command{
		Use:   "identify [LAMP|UID...]",
		Short: "Have lamps show themselves, to see which is which; without a name, list them",
		Long: `Has the lamps named show themselves for a while, as their makers do it: most flash at
full. A lamp is named by its RDM unique identifier, by its label, or with --show by
its id in the kit. Without a name every device found is listed. Ctrl-C ends it at once.

Take care: a lamp may flash at full and fast. Warn everyone, let nobody look into it,
and do not do it near people with photosensitive epilepsy.`,
		Example: `  linkboy identify
  linkboy identify 7FF1:0000002A --for 5s
  linkboy identify T3 --show my-show
  linkboy identify --off`,
		RunE: func(cmd *cobra.Command, args []string) error {
			var show *cues.Show
			if f.stay < 0 {
				return usageError{mendedError{fmt.Errorf("--for %v is no time to wait", f.stay), "use --for 10s, or --for 0s to leave lamps on until --off"}}
			}
			if f.show != "" {
				var err error
				if show, err = loadShow(cmd, f.show); err != nil {
					return err
				}
			}
			return onNetwork(cmd.Context(), f.daemonFlags, func(ctx context.Context, n *lampNetwork) error {
				return identifyLamps(ctx, cmd, n, show, args, &f)
			})
		},
	}
	f.addNodes(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.show, "show", "", "the show whose kit has the lamps' ids")
	flags.BoolVar(&f.off, "off", false, "stop the lamps named, or all that show themselves")
	flags.BoolVar(&f.asJSON, "json", false, "print one JSON document")
	flags.DurationVar(&f.stay, "for", 10*time.Second, "how long; 0s leaves them on until --off")
	return cmd
}

// identifyLamps finds the devices named and switches them.
func identifyLamps(ctx context.Context, cmd *cobra.Command, n *lampNetwork, show *cues.Show, names []string, f *identifyFlags) error {
	if _, err := n.rdm.Discover(ctx, n.gateways()); err != nil {
		return err
	}
	chosen, err := chooseDevices(n.rdm.Devices(), show, names, f.off)
	if err != nil {
		return err
	}
	out := cmd.OutOrStdout()
	if len(names) == 0 && !f.off {
		return printIdentified(out, n, chosen, f.asJSON)
	}
	err = switchIdentify(ctx, n, chosen, !f.off)
	if f.asJSON || err == nil {
		err = errors.Join(err, printIdentified(out, n, chosen, f.asJSON))
	}
	if f.off || f.stay == 0 {
		return err
	}
	timer := time.NewTimer(f.stay)
	defer timer.Stop()
	select {
	case <-ctx.Done():
	case <-timer.C:
	}
	// Also after Ctrl-C: a lamp must not be left flashing.
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	return errors.Join(err, switchIdentify(last, n, chosen, false))
}

// switchIdentify switches every device, also after one that does not obey.
func switchIdentify(ctx context.Context, n *lampNetwork, chosen []controller.Device, on bool) error {
	var bad error
	for _, d := range chosen {
		bad = errors.Join(bad, n.rdm.Identify(ctx, d.UID, on))
	}
	return bad
}

// chooseDevices are the devices named: all without a name, or with off those
// that show themselves.
func chooseDevices(all []controller.Device, show *cues.Show, names []string, off bool) (chosen []controller.Device, err error) {
	var known []string
	for _, d := range all {
		if d.Lost {
			continue
		}
		known = append(known, d.UID.String())
		if d.Label != "" {
			known = append(known, d.Label)
		}
		if len(names) == 0 && (!off || d.Identify) {
			chosen = append(chosen, d)
		}
	}
	for _, name := range names {
		found := devicesNamed(all, show, name)
		if len(found) == 0 {
			return nil, noSuch("device", name, known)
		}
		chosen = append(chosen, found...)
	}
	return chosen, nil
}

// devicesNamed are the devices that a name means: by UID, by the kit, by label.
func devicesNamed(all []controller.Device, show *cues.Show, name string) (found []controller.Device) {
	uid, err := rdm.ParseUID(name)
	if err != nil && show != nil {
		for _, k := range show.Kit {
			if k.ID == name && k.UID != "" {
				uid, err = rdm.ParseUID(k.UID)
			}
		}
	}
	for _, d := range all {
		if !d.Lost && (err == nil && d.UID == uid || err != nil && strings.EqualFold(d.Label, name)) {
			found = append(found, d)
		}
	}
	return found
}

// printIdentified prints the devices as they are now.
func printIdentified(out io.Writer, n *lampNetwork, chosen []controller.Device, asJSON bool) error {
	answer := identifyAnswer{Devices: []identified{}}
	for _, d := range chosen {
		if now, ok := n.rdm.Device(d.UID); ok {
			d = now
		}
		at := d.PortAddress.String()
		if d.Info.StartAddress.Valid() {
			at = fmt.Sprintf("%v.%03d", d.PortAddress, d.Info.StartAddress)
		}
		answer.Devices = append(answer.Devices, identified{d.UID.String(), d.Label, d.Model, d.Node.Addr().String(), at, d.Identify})
	}
	if asJSON {
		return writeJSON(out, answer)
	}
	fmt.Fprintln(out, plural(len(answer.Devices), "device"))
	for _, d := range answer.Devices {
		state := ""
		if d.Identify {
			state = "  shows itself"
		}
		fmt.Fprintf(out, "  %s  %-16q %s at %s, node %s%s\n", d.UID, d.Label, d.Model, d.Address, d.Node, state)
	}
	return nil
}
