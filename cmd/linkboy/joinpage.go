package main

import (
	"context"
	"encoding/gob"
	"io"
	"log/slog"

	"github.com/spf13/cobra"

	"linkboy/server"
	"linkboy/ui"
	"linkboy/ui/join"
)

// joinPage is the command that the daemon starts itself.
const joinPage = "join-page"

// newJoinPage is the process that makes few files of the page's many for a daemon: that
// makes garbage by the megabyte, which would keep frames waiting in the daemon's own memory.
func newJoinPage() *cobra.Command {
	return childCommand(joinPage, "Give the page in few files on standard output", "joining the page", func(_ context.Context, _ io.Reader, out io.Writer) error {
		files, err := join.Files(ui.Files())
		if err != nil {
			return err
		}
		return gob.NewEncoder(out).Encode(files)
	})
}

// quicken has a child make few files of the page, and the page served so. Until then, and
// when that fails, it is served as it lies, which takes a phone longer.
func quicken(ctx context.Context, page *server.Server, log *slog.Logger) {
	files, err := joinedPage(ctx)
	if err == nil {
		err = page.UsePage(files)
	}
	if err != nil && ctx.Err() == nil {
		log.Warn("the page is served in its many files, which a phone waits for", "err", err)
	}
}

func joinedPage(ctx context.Context) (map[string][]byte, error) {
	return askChildFor[map[string][]byte](ctx, joinPage, nil)
}
