package main

import (
	"context"
	"log/slog"
	"path/filepath"

	"linkboy/cues"
	"linkboy/cues/journal"
	"linkboy/cues/session"
	"linkboy/cues/take"
	"linkboy/server"
)

// keptTakes is the journal of a daemon; the zero value, for a show in memory, keeps none.
type keptTakes struct{ journal *journal.Journal }

// takesOf makes the journal of a show. It is opened when the daemon runs: light does
// not wait for it.
func takesOf(show *cues.Show, log *slog.Logger) keptTakes {
	if show.Dir == "" {
		return keptTakes{}
	}
	return keptTakes{journal.New(filepath.Join(show.Dir, journal.Name), log)}
}

// server gives the takes as pages read them.
func (k keptTakes) server() server.Takes {
	if k.journal == nil {
		return nil
	}
	return k.journal
}

// session gives a session its journal, and what is put down at roll.
func (k keptTakes) session(devices *daemonDevices, network func([]uint16) []session.Warning) func(*session.Config) {
	return func(cfg *session.Config) {
		if k.journal == nil {
			return
		}
		cfg.Journal, cfg.Network = k.journal, network
		cfg.Readings = func() []take.Reading { return readingsOf(devices.Devices()) }
	}
}

// readingsOf gives what devices have told of themselves.
func readingsOf(devices []server.DeviceInfo) []take.Reading {
	var list []take.Reading
	for _, d := range devices {
		for _, s := range d.Sensors {
			list = append(list, take.Reading{Device: d.UID, Label: d.Label, Name: s.Name, Kind: s.Kind, Value: s.Value, Unit: s.Unit})
		}
	}
	return list
}

// run runs the session, and the journal until the session has told it everything.
func (k keptTakes) run(ctx context.Context, session func(context.Context) error) error {
	if k.journal == nil {
		return session(ctx)
	}
	open, end := context.WithCancel(context.WithoutCancel(ctx))
	done := make(chan error, 1)
	go func() { done <- k.journal.Run(open) }()
	err := session(ctx)
	end()
	if journalErr := <-done; err == nil {
		err = journalErr
	}
	return err
}
