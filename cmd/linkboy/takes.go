package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"linkboy/cues/journal"
	"linkboy/cues/showfile"
	"linkboy/cues/take"
)

// takesFlags are those of the takes command.
type takesFlags struct {
	forms   map[string]*bool
	query   take.Query
	since   string
	until   string
	take    int64
	differs int64
}

func newTakes() *cobra.Command {
	f := takesFlags{forms: map[string]*bool{}}
	cmd := &cobra.Command{
		Use:   "takes SHOW",
		Short: "List the takes of a show, for people, cutting rooms and spreadsheets",
		Long: `Prints the takes that the daemon has written down in the show's folder (journal.db),
oldest first: for people, or as CSV (a row for every cue), as an edit list in the
CMX3600 text, as a tab-separated log, or as JSON. It reads while a daemon runs.

An edit list states no frame rate: put it into the name of the file.`,
		Example: `  linkboy takes my-show
  linkboy takes my-show --scene 12 --csv > scene-12.csv
  linkboy takes my-show --since 2026-11-27 --edl > night-3-24fps.edl
  linkboy takes my-show --take 12 --differs 9    take 12 against take 9`,
		Args: exactly("SHOW"),
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args[0]) },
	}
	flags := cmd.Flags()
	for _, form := range []struct{ name, help string }{
		{"json", "print one JSON document"}, {"csv", "print CSV (RFC 4180), a row for every event"},
		{"edl", "print an edit list (CMX3600 text)"}, {"tab", "print a tab-separated log"},
	} {
		f.forms[form.name] = flags.Bool(form.name, false, form.help)
	}
	flags.StringVar(&f.query.Scene, "scene", "", "only takes of this scene")
	flags.StringVar(&f.query.Slate, "slate", "", "only takes of this slate")
	flags.StringVar(&f.query.Look, "look", "", "only takes in which this look came on")
	flags.StringVar(&f.query.Location, "location", "", "only takes at this location")
	flags.StringVar(&f.since, "since", "", "only takes from this day or moment on: 2026-11-27 or 2026-11-27T21:30:00+01:00")
	flags.StringVar(&f.until, "until", "", "only takes before this day or moment")
	flags.BoolVar(&f.query.Circled, "circled", false, "only circled takes")
	flags.Int64Var(&f.take, "take", 0, "this take alone, by its id")
	flags.Int64Var(&f.differs, "differs", 0, "with --take: what the lamps had in it against this other take, worst first")
	cmd.MarkFlagsMutuallyExclusive("json", "csv", "edl", "tab")
	return cmd
}

func (f *takesFlags) run(cmd *cobra.Command, dir string) error {
	for _, at := range []struct {
		name, text string
		to         *time.Time
	}{{"--since", f.since, &f.query.Since}, {"--until", f.until, &f.query.Until}} {
		if at.text == "" {
			continue
		}
		day, err := take.ParseDay(at.text, time.Local)
		if err != nil {
			return usageError{mendedError{fmt.Errorf("%s: %w", at.name, err), "write it like 2026-11-27 or 2026-11-27T21:30:00+01:00"}}
		}
		*at.to = day
	}
	if f.differs != 0 && f.take == 0 {
		return usageError{mendedError{errors.New("--differs needs --take"), "name the take that is compared: --take 12 --differs 9"}}
	}
	title, err := titleOf(cmd, dir)
	if err != nil {
		return err
	}
	j, stop, err := readJournal(cmd.Context(), dir)
	if err != nil {
		return err
	}
	defer stop()
	return f.print(cmd.Context(), cmd.OutOrStdout(), title, j)
}

// titleOf gives the title of a show; its problems are those of linkboy check, and a show
// with errors has takes all the same.
func titleOf(cmd *cobra.Command, dir string) (string, error) {
	show, problems := showfile.Load(dir)
	if show != nil {
		return show.Title, nil
	}
	if _, err := os.Stat(filepath.Join(dir, journal.Name)); err == nil {
		return filepath.Base(dir), nil
	}
	printProblems(cmd.ErrOrStderr(), dir, problems)
	return "", errBadShow
}

// readJournal opens the takes of a show for reading.
func readJournal(ctx context.Context, dir string) (*journal.Journal, func(), error) {
	path := filepath.Join(dir, journal.Name)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil, mendedError{fmt.Errorf("%s: no take has been written down yet", path), `roll one on the page, or with POST /api/take {"do": "roll", "scene": "12", "slate": "A"}`}
	}
	j := journal.NewReader(path, slog.New(slog.DiscardHandler))
	if err := j.Open(ctx); err != nil {
		return nil, nil, mendedError{err, "run linkboy serve once with this build, which brings an older journal up to date and moves a broken one aside"}
	}
	return j, j.Close, nil
}

func (f *takesFlags) print(ctx context.Context, w io.Writer, title string, j *journal.Journal) error {
	if f.take != 0 {
		return f.printOne(ctx, w, title, j)
	}
	list, err := take.All(ctx, j, f.query)
	if err != nil {
		return err
	}
	return f.printList(w, title, list)
}

func (f *takesFlags) printList(w io.Writer, title string, list []take.Take) error {
	for _, form := range take.Forms {
		if !*f.forms[form.Name] {
			continue
		}
		err := form.Write(w, title, list)
		var tooMany *take.TooManyError
		if errors.As(err, &tooMany) {
			return mendedError{err, "choose a scene or days: --scene 12, --since 2026-11-27"}
		}
		return err
	}
	if *f.forms["json"] {
		if list == nil {
			list = []take.Take{}
		}
		return writeJSON(w, struct {
			Takes []take.Take `json:"takes"`
		}{list})
	}
	return printTakes(w, list)
}

// printOne prints one take, or how it differs from another.
func (f *takesFlags) printOne(ctx context.Context, w io.Writer, title string, j *journal.Journal) error {
	t, err := getTake(ctx, j, f.take)
	if err != nil {
		return err
	}
	if f.differs == 0 {
		if *f.forms["json"] {
			return writeJSON(w, t)
		}
		return f.printList(w, title, []take.Take{*t})
	}
	other, err := getTake(ctx, j, f.differs)
	if err != nil {
		return err
	}
	a, b := t.Find(0), other.Find(0)
	if a == nil || b == nil {
		return mendedError{fmt.Errorf("nothing was kept of the lamps of take %s or %s", t.Name(), other.Name()), "choose other takes"}
	}
	list := take.Compare(b.Lamps, a.Lamps)
	if *f.forms["json"] {
		return writeJSON(w, struct {
			Lamps []take.Difference `json:"lamps"`
		}{list})
	}
	fmt.Fprintf(w, "take %s against take %s, at roll\n", t.Name(), other.Name())
	return printDifferences(w, list)
}

func getTake(ctx context.Context, j *journal.Journal, id int64) (*take.Take, error) {
	t, err := j.Get(ctx, id)
	if errors.Is(err, take.ErrUnknown) {
		return nil, usageError{mendedError{err, "see linkboy takes SHOW: the id is in its first column"}}
	}
	return t, err
}

// printTakes prints a list for people.
func printTakes(w io.Writer, list []take.Take) error {
	if len(list) == 0 {
		_, err := fmt.Fprintln(w, "no takes")
		return err
	}
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "id\ttake\trolled\tlength\tlocation\tlooks\tnote")
	for i := range list {
		t := &list[i]
		fmt.Fprintf(table, "%d\t%s%s\t%s\t%s\t%s\t%s\t%s\n", t.ID, t.Name(), circleMark(t.Circled), t.Rolled.Format("2006-01-02 15:04:05"),
			lengthOf(t), t.Location, strings.Join(t.Looks, ", "), notesOf(t))
	}
	return table.Flush()
}

func circleMark(on bool) string {
	if on {
		return " (circled)"
	}
	return ""
}

func lengthOf(t *take.Take) string {
	if t.Cut.IsZero() {
		return "rolls"
	}
	return fmt.Sprintf("%.1f s", t.Duration().Seconds())
}

// notesOf gives the note of a take and what is wrong with it.
func notesOf(t *take.Take) string {
	var parts []string
	if t.Note != "" {
		parts = append(parts, t.Note)
	}
	if t.Broken {
		parts = append(parts, "[the daemon stopped while it rolled]")
	}
	if t.Lost > 0 {
		parts = append(parts, fmt.Sprintf("[%d moments lost]", t.Lost))
	}
	return strings.Join(parts, " ")
}

// printDifferences prints a comparison for people.
func printDifferences(w io.Writer, list []take.Difference) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "lamp\tplace\tis\tstops\tdelta u'v'\tworst cell\tother")
	for _, d := range list {
		cell := "-"
		if d.Cell > 0 {
			cell = fmt.Sprintf("%d: %+.2f, %.4f", d.Cell, d.CellStops, d.CellDeltaUV)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%+.2f\t%.4f\t%s\t%s\n", d.Kit, d.Rig, d.State, d.Stops, d.DeltaUV, cell, strings.Join(d.Other, ", "))
	}
	return table.Flush()
}
