package main

import (
	"os"
	"runtime/debug"
)

// spareCollector lets the heap grow to five times what is in use before the
// collector runs, where GOGC does not say otherwise. A daemon has little in use, and
// frames are late while the collector runs beside them.
func spareCollector() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}
