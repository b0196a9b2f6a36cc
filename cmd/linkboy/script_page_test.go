package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// printed shows the page as paper would have it, or as a screen again.
func (p *phone) printed(on bool) {
	p.t.Helper()
	media := ""
	if on {
		media = "print"
	}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media})
		return err
	}))
}

// The colour script lists all looks of all places, and prints black on white.
func TestPageHasTheColourScript(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	d := startDaemon(t, "demo", "--show", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.232")
	p := openPhone(t, browser(t), d.url, planOnly)
	p.tap("status")
	p.await("the details", `part("open-script")`)
	ask[any](p, `part("open-script").scrollIntoView({ block: "center" }); return null;`)
	p.tap("open-script")
	p.await("the table", `part("script-table")`)
	require.Equal(t, []string{"changing huts", "deep end", "diving stage", "pump room"},
		ask[[]string](p, `return [...document.querySelectorAll(".script-place")].map((e) => e.textContent);`))
	rows := ask[int](p, `return document.querySelectorAll('[data-test="script-row"]').length;`)
	require.Greater(t, rows, 12)
	surfacing := ask[string](p, `return part("script-body").querySelector('[data-look="surfacing"]').textContent;`)
	for _, part := range []string{"tide", "30%", "3200 K", "edge"} {
		require.Contains(t, surfacing, part)
	}
	require.True(t, ask[bool](p, `
		const inks = [...part("script-body").querySelectorAll('[data-look="surfacing"] .script-ink > span')];
		return inks.length > 6 && inks.every((e) => e.getBoundingClientRect().width > 5 && getComputedStyle(e).backgroundColor !== "rgba(0, 0, 0, 0)");
	`), "bars are seen, and have colours")
	require.False(t, ask[bool](p, `const b = part("script-body").parentElement; return b.scrollWidth > b.clientWidth;`), "nothing is cut at the side")
	ask[any](p, `document.activeElement?.blur(); return null;`)
	p.keepPicture("script.png", 360, 740)
	ask[any](p, `part("script-body").querySelector('[data-look="doors"]').scrollIntoView(); return null;`)
	p.keepPicture("script-doors.png", 360, 740)
	p.keepPicture("script-desk.png", 1440, 900)

	p.printed(true)
	const paper = `getComputedStyle(document.querySelector(".sheet")).backgroundColor === "rgb(255, 255, 255)"`
	p.await("white paper", paper)
	require.Equal(t, "rgb(0, 0, 0)", ask[string](p, `return getComputedStyle(document.querySelector(".script-table td")).color;`))
	require.True(t, ask[bool](p, `return [...document.querySelectorAll(".padzone, .foot, .status")].every((e) => getComputedStyle(e).display === "none");`))
	p.keepPicture("script-paper.png", 794, 1123) // A4 at 96 dots an inch
	p.printed(false)
	p.await("a screen", `!(`+paper+`)`)

	// A look that is new on disk comes to the table.
	place, err := os.ReadFile(filepath.Join(dir, "locations", "deep-end.yaml"))
	require.NoError(t, err)
	save(t, dir, "locations/deep-end.yaml", string(place)+"\n# by hand\n")
	save(t, dir, "show.yaml", string(mustRead(t, filepath.Join(dir, "show.yaml")))+"  ebb-tide: {from: warden, note: new}\n")
	p.await("the new look", `part("script-body").querySelector('[data-look="ebb-tide"]')`)
}

func mustRead(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return data
}
