package main

import (
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/light"
	"linkboy/cues/meter"
	"linkboy/cues/metering"
	"linkboy/cues/session"
	"linkboy/cues/stage"
	"linkboy/server"
)

// cacheDir is the folder of a show that may be deleted at any time.
const cacheDir = "cache"

// folderOf is where the light of a show is kept: in its folder. A show that is not kept
// itself has it among the user's caches, or nowhere where there are none.
func folderOf(show *cues.Show, kept bool) light.Folder {
	if kept && show.Dir != "" {
		return light.FolderOf(show, filepath.Join(show.Dir, cacheDir))
	}
	if dir, err := os.UserCacheDir(); err == nil {
		return light.FolderOf(show, filepath.Join(dir, "linkboy", "light"))
	}
	return light.Folder{}
}

// What --light says: where the light of a daemon's places comes from.
const (
	lightComputed = "computed"
	lightKept     = "kept"
)

// daemonLight is the light of a daemon's places, computed out of its way.
func daemonLight(show *cues.Show, f daemonFlags, log *slog.Logger) (*light.Keeper, error) {
	k := &light.Keeper{Folder: folderOf(show, !f.passing), Compute: computeInChild, Logger: log}
	switch f.light {
	case lightComputed:
	case lightKept:
		k.Compute = nil
	default:
		return nil, usageError{mendedError{fmt.Errorf("--light %q is not known", f.light), "use computed or kept"}}
	}
	return k, nil
}

// mapOf gives the light of a stage for a command that waits for it.
func mapOf(cmd *cobra.Command, set *stage.Stage) (*transport.Map, error) {
	k := light.Keeper{Folder: folderOf(set.Plan.Show, true), Compute: light.Here}
	tell := newProgress(cmd.ErrOrStderr())
	defer tell.end()
	return k.Map(cmd.Context(), set, func(at transport.Stage) { tell.say(stageWords[at]) })
}

// stageWords say what comes after a stage.
var stageWords = map[transport.Stage]string{
	transport.Coarse: "direct light", transport.Direct: "light thrown back by surfaces", transport.Bounced: "done",
}

// progress tells a person at a terminal what takes so long, from the second second on.
type progress struct {
	w     io.Writer // nil where nobody looks
	since time.Time
	said  bool
}

func newProgress(w io.Writer) *progress {
	p := &progress{since: time.Now()}
	if f, ok := w.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			p.w = w
		}
	}
	return p
}

func (p *progress) say(words string) {
	if p.w == nil || time.Since(p.since) < time.Second {
		return
	}
	p.said = true
	_, _ = io.WriteString(p.w, "\r\x1b[Kcomputing the light of the place: "+words)
}

// end takes the line away.
func (p *progress) end() {
	if p.said {
		_, _ = io.WriteString(p.w, "\r\x1b[K")
	}
}

// lit gives a place in its light, computed where that is not kept, when one of some looks
// needs it; else as it is.
func lit(cmd *cobra.Command, place *compile.Place, looks ...*cues.Look) (*compile.Place, error) {
	needs := false
	for _, k := range looks {
		needs = needs || k != nil && place.LookNeedsLight(k)
	}
	if !needs {
		return place, nil
	}
	set, problems := stage.Build(place)
	if set == nil {
		printProblems(cmd.ErrOrStderr(), place.Show.Dir, problems)
		return nil, errBadShow
	}
	m, err := mapOf(cmd, set)
	if err != nil {
		return nil, err
	}
	return place.WithLight(meter.NewLevels(set, transport.NewLit(&set.Place, m))), nil
}

// litIfKept gives a place in its light where that is kept, in no time.
func litIfKept(place *compile.Place) (*compile.Place, error) {
	if !place.NeedsLight() {
		return place, nil
	}
	k := light.Keeper{Folder: folderOf(place.Show, true)}
	if l, ok := k.Kept(place); ok && l.Metered != nil {
		return place.WithLight(l.Metered), nil
	}
	return place, nil
}

var _ light.Compute = computeInChild

// meterOf reads the light of what is on for the server.
func meterOf(set *session.Session) server.Meter {
	m := metering.New(set)
	return func(look, setup string, patient bool) (any, error) { return m.Read(look, setup, patient) }
}

// lightOf is the light of the place that is lit, as the server gives it to pages.
func lightOf(set *session.Session) server.Light {
	l := set.Light()
	return server.Light{Stage: l.Stage, Hash: l.Hash, Encoded: l.Encoded}
}
