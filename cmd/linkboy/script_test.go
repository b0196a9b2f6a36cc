package main

import (
	"context"
	"os"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run the command in a process of its own, and daemons theirs
// that computes light.
// A test that kills a daemon runs it in a process of its own, with asDaemon set.
func TestMain(m *testing.M) {
	if len(os.Args) > 1 && (slices.Contains([]string{computeLight, computeHaze, drawStills, cleanPhoto, joinPage}, os.Args[1]) || os.Getenv(asDaemon) != "") {
		os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr))
	}
	testscript.Main(tidy{m}, map[string]func(){
		"linkboy": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// asDaemon has the test binary run as the command does.
const asDaemon = "LINKBOY_TEST_COMMAND"

// tidy gives the light that tests compute a folder of its own: nobody's cache is for
// tests. Runs beside each other share the one that LINKBOY_TEST_CACHE names.
type tidy struct{ *testing.M }

// Run is that of testing.M.
func (m tidy) Run() int {
	dir := os.Getenv("LINKBOY_TEST_CACHE")
	if dir == "" {
		var err error
		if dir, err = os.MkdirTemp("", "linkboy-cache"); err != nil {
			panic(err)
		}
		defer os.RemoveAll(dir)
	}
	os.Setenv("XDG_CACHE_HOME", dir)
	return m.M.Run()
}

// TestScripts runs the command as a person types it: one page a story, with
// files, command lines, what is printed and exit codes.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script"})
}
