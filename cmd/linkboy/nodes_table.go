package main

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"linkboy/artnet/survey"
	"linkboy/cues/session"
)

// printDevices prints a row a device, under it what else is known, and the
// warnings at the end.
func printDevices(w io.Writer, found surveyJSON) error {
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	if len(found.Nodes) > 0 {
		fmt.Fprintln(table, "NAME\tADDRESS\tIS A\tPUTS OUT\tTAKES IN\tFIRMWARE\tSEEN")
	}
	for _, n := range found.Nodes {
		seen := time.Duration(n.LastSeenMS * int64(time.Millisecond)).Round(100 * time.Millisecond)
		text := fmt.Sprintf("%v ago", seen)
		if n.Lost {
			text = "LOST, " + text
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", n.Name, n.IP, n.Style,
			orDash(portRanges(n.Lines, "out")), orDash(portRanges(n.Lines, "in")), n.Firmware, text)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	for _, n := range found.Nodes {
		fmt.Fprintf(w, "\n%s %s\n", n.Name, n.IP)
		for _, text := range aboutDevice(n) {
			fmt.Fprintf(w, "  %s\n", text)
		}
	}
	for i, warning := range found.Warnings {
		if i == 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "warning: %s [%s]\n  why:  %s\n  mend: %s\n", warning.Message, warning.Code, warning.Why, warning.Mend)
	}
	return nil
}

// aboutDevice is what else is known of a device, a line each.
func aboutDevice(n deviceJSON) []string {
	var about []string
	if n.LongName != "" && n.LongName != n.Name {
		about = append(about, n.LongName)
	}
	codes := fmt.Sprintf("ESTA 0x%04x, OEM 0x%04x", n.Esta, n.Oem)
	if n.MAC != "" {
		codes = "MAC " + n.MAC + ", " + codes
	}
	about = append(about, codes)
	status := append([]string{"indicators " + n.Indicators}, n.Status...)
	about = append(about, strings.Join(status, ", "))
	if n.Report != "" {
		about = append(about, "says "+n.Report)
	}
	// Ports that say the same share a line.
	var order []string
	same := map[string][]session.Line{}
	for _, l := range n.Lines {
		what := l.Direction + ": " + strings.Join(l.Status, ", ")
		if same[what] == nil {
			order = append(order, what)
		}
		same[what] = append(same[what], l)
	}
	for _, what := range order {
		direction, words, _ := strings.Cut(what, ": ")
		about = append(about, portRanges(same[what], direction)+" "+what[:len(direction)]+": "+words)
	}
	return about
}

// portRanges writes the port-addresses of one direction, neighbours as a range.
func portRanges(lines []session.Line, direction string) string {
	var numbers []int
	for _, l := range lines {
		var net, sub, universe int
		if _, err := fmt.Sscanf(l.Address, "%d:%d:%d", &net, &sub, &universe); err == nil && l.Direction == direction {
			numbers = append(numbers, net<<8|sub<<4|universe)
		}
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	var parts []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		part := portText(numbers[i])
		if j > i {
			part += " to " + portText(numbers[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

func portText(n int) string { return fmt.Sprintf("%d:%d:%d", n>>8, n>>4&15, n&15) }

func orDash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// changesBetween says in a line each what changed from one look to the next.
func changesBetween(last, now surveyJSON) []string {
	var changes []string
	before := map[string]deviceJSON{}
	for _, n := range last.Nodes {
		before[n.IP] = n
	}
	for _, n := range now.Nodes {
		was, known := before[n.IP]
		delete(before, n.IP)
		who := fmt.Sprintf("%q at %s", n.Name, n.IP)
		switch {
		case !known:
			changes = append(changes, fmt.Sprintf("found %s, a %s, puts out %s", who, n.Style, orDash(portRanges(n.Lines, "out"))))
		case n.Lost && !was.Lost:
			changes = append(changes, "lost "+who)
		case !n.Lost && was.Lost:
			changes = append(changes, "back "+who)
		case !sameDevice(n, was):
			changes = append(changes, fmt.Sprintf("changed %s: %s", who, strings.Join(aboutDevice(n), "; ")))
		}
	}
	for _, n := range last.Nodes {
		if _, gone := before[n.IP]; gone {
			changes = append(changes, fmt.Sprintf("gone %q from %s", n.Name, n.IP))
		}
	}
	told := string(survey.NodeLost) // by the lines above
	for _, w := range now.Warnings {
		if w.Code != told && !slices.Contains(last.Warnings, w) {
			changes = append(changes, fmt.Sprintf("warning: %s; %s [%s]", w.Message, w.Mend, w.Code))
		}
	}
	for _, w := range last.Warnings {
		if w.Code != told && !slices.Contains(now.Warnings, w) {
			changes = append(changes, fmt.Sprintf("mended: %s [%s]", w.Message, w.Code))
		}
	}
	return changes
}

// sameDevice compares all but what changes by itself.
func sameDevice(a, b deviceJSON) bool {
	for _, n := range []*deviceJSON{&a, &b} {
		n.LastSeenMS, n.Report = 0, ""
	}
	return reflect.DeepEqual(a, b)
}
