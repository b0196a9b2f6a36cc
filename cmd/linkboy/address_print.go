package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"linkboy/cues/rigcheck"
	"linkboy/server"
)

// addressAnswer is what `linkboy address --json` prints: what the daemon answers too.
type addressAnswer = server.RigCheck

func (a *addressing) answer(set int) addressAnswer {
	answer := addressAnswer{Location: a.loc.Name, Devices: len(foundDevices(a.found)), Set: set, Rows: []server.RigRow{}}
	for i := range a.rows {
		r := &a.rows[i]
		row := server.RigRow{Place: r.Place, Lamp: r.Lamp, UID: r.UID, By: string(r.By), Right: r.Right()}
		for _, f := range r.Findings {
			row.Findings = append(row.Findings, server.RigFinding{Kind: string(f.Kind), What: f.What, Mend: f.Mend})
		}
		if r.Changes() {
			row.Change = &server.RigChange{Personality: r.Change.Personality, Address: r.Change.Address, Label: r.Change.Label}
		}
		if err := a.failed[r.UID]; err != nil && r.UID != "" {
			row.Failed = err.Error()
		}
		answer.Rows = append(answer.Rows, row)
	}
	return answer
}

// printRig prints the list, a line a finding.
func printRig(out io.Writer, a *addressing) error {
	fmt.Fprintf(out, "%s: %s in the rig, %s found\n", a.loc.Name, plural(len(a.loc.Rig), "lamp"), plural(len(foundDevices(a.found)), "device"))
	if len(a.found) == 0 && a.silent > 0 {
		fmt.Fprintf(out, "  no node tells of RDM devices: %s without a table. Is RDM on at the nodes, and have they searched their lines (--search)?\n", plural(a.silent, "port"))
	}
	right := 0
	for i := range a.rows {
		if a.rows[i].Right() {
			right++
		}
	}
	if err := printRows(out, a.rows, nil); err != nil {
		return err
	}
	fmt.Fprintf(out, "%d right, %d not\n", right, len(a.rows)-right)
	return nil
}

// printApplied says what took, and what is still not right.
func printApplied(out io.Writer, a *addressing, set, todo int) error {
	fmt.Fprintf(out, "%d of %s took what was set, read back\n", set, plural(todo, "device"))
	var left []rigcheck.Row
	for _, r := range a.rows {
		if !r.Right() {
			left = append(left, r)
		}
	}
	if len(left) == 0 {
		fmt.Fprintln(out, "every lamp is as the plan has it")
		return nil
	}
	fmt.Fprintln(out, "still not right:")
	return printRows(out, left, a.failed)
}

func printRows(out io.Writer, rows []rigcheck.Row, failed map[string]error) error {
	table := tabwriter.NewWriter(out, 2, 0, 2, ' ', 0)
	for i := range rows {
		r := &rows[i]
		place, lamp, uid := r.Place, r.Lamp, r.UID
		for _, f := range r.Findings {
			fmt.Fprintf(table, "  %s\t%s\t%s\t%s\t%s\n", place, lamp, uid, strings.ReplaceAll(string(f.Kind), "-", " "), f.What)
			place, lamp, uid = "", "", ""
			if f.Mend != "" {
				fmt.Fprintf(table, "  \t\t\t\t  mend: %s\n", f.Mend)
			}
		}
		if err := failed[r.UID]; err != nil && r.UID != "" {
			fmt.Fprintf(table, "  \t\t\t\t  %v\n", err)
		}
	}
	return table.Flush()
}
