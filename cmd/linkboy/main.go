// Command linkboy lights a film set from named looks: it turns colours into
// channel values, sends them over Art-Net and serves the page that flips the
// set from one look to another.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	spareCollector()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
