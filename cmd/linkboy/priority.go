package main

import (
	"log/slog"

	"linkboy/cues/play/rtwait"
)

// tellPriority logs how the thread that sends frames is preferred to other
// programs, and how it could be better.
func tellPriority(log *slog.Logger) func(rtwait.Priority, error) {
	return func(p rtwait.Priority, why error) {
		if why == nil {
			log.Info("frames go out at real-time priority")
			return
		}
		log.Info("frames go out without real-time priority: they may be late while other programs keep this machine busy",
			"priority", p, "why", why, "mend", "see \"On time\" in README.md")
	}
}
