package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/cues"
)

// The exit codes; scripts rely on them.
const (
	exitDone     = 0
	exitFailed   = 1
	exitWrongUse = 2
	exitBadShow  = 3
)

// usageError is a command line that cannot be run as typed.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// mendedError is a failure whose mend is known.
type mendedError struct {
	error
	mend string
}

func (e mendedError) Unwrap() error { return e.error }

// errBadShow says that the show has errors, which have been printed.
var errBadShow = errors.New("the show has errors")

// run is the whole command: it reads args, writes results to stdout and
// diagnostics to stderr, and returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)

	var usage usageError
	var picture photoError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errBadShow):
		return exitBadShow
	case errors.Is(err, errDiffers):
		return exitFailed
	case errors.As(err, &picture):
		fmt.Fprintln(stderr, picture)
		return exitBadPhoto
	case errors.As(err, &usage):
		printError(stderr, err)
		return exitWrongUse
	default:
		printError(stderr, err)
		return exitFailed
	}
}

// printError prints what went wrong and, where it is known, the mend.
func printError(w io.Writer, err error) {
	fmt.Fprintf(w, "linkboy: %v\n", err)
	var mended mendedError
	if errors.As(err, &mended) {
		fmt.Fprintf(w, "  mend: %s\n", mended.mend)
	}
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "linkboy",
		Short: "Drive the colour LED lamps of a film set, and flip them to another look mid-take",
		Long: `linkboy drives the colour LED lamps of a film set over Art-Net and serves a page
for phones that turns the whole set from one character's look to another's with
a timed fade.

Start with the built-in show, which needs no lamps:

  linkboy demo

then make your own:

  linkboy new my-show        a small show with comments
  linkboy check my-show      every error and warning, with its place and mend
  linkboy serve my-show      run it`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return usageError{mendedError{err, "see " + cmd.CommandPath() + " --help"}}
	})
	root.AddCommand(newDemo(), newServe(), newNew(), newCheck(), newColour(), newLook(), newLooks(), newCarry(), newFades(), newMeter(), newPicture(), newLamps())
	root.AddCommand(newNodes(), newListen())
	root.AddCommand(newAddress(), newIdentify(), newComputeLight(), newComputeHaze(), newDrawStills())
	root.AddCommand(newTakes(), newCleanPhoto(), newJoinPage())
	return root
}

// knownCommand refuses words that are no command, with the nearest that is.
func knownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var known []string
	for _, c := range cmd.Commands() {
		known = append(known, c.Name())
	}
	mend := "see linkboy --help"
	if near := cues.Nearest(args[0], known); near != "" {
		mend = "did you mean " + near + "?"
	}
	return usageError{mendedError{fmt.Errorf("no command %q", args[0]), mend}}
}

// exactly asks for n arguments and says which; one in brackets may be left out.
func exactly(names ...string) cobra.PositionalArgs {
	least := 0
	for _, n := range names {
		if !strings.HasPrefix(n, "[") {
			least++
		}
	}
	return func(cmd *cobra.Command, args []string) error {
		if len(args) >= least && len(args) <= len(names) {
			return nil
		}
		want := strings.Join(names, " ")
		if want == "" {
			want = "no arguments"
		}
		return usageError{mendedError{
			fmt.Errorf("%s takes %s, got %d", cmd.CommandPath(), want, len(args)),
			"see " + cmd.CommandPath() + " --help",
		}}
	}
}
