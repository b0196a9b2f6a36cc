package main

import (
	"context"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run the command in a process of its own, and daemons theirs
// that computes light.
func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == computeLight {
		os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr))
	}
	testscript.Main(m, map[string]func(){
		"linkboy": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command as a person types it: one page a story, with
// files, command lines, what is printed and exit codes.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script"})
}
