package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// screen is one state of the page that is checked by axe-core and can be had as a picture.
// A new part of the page is a row in screens.
type screen struct {
	name string
	// in brings the page there, out back to the stand-by; either may be nil.
	in, out func(s *rehearsal, p *phone)
}

var screens = []screen{
	{"standby", nil, nil},
	{"running", func(s *rehearsal, p *phone) {
		s.do("cue", `{"look": "tide", "fade": "60 s"}`)
		p.await("it runs", `pad.dataset.state === "running"`)
	}, ended},
	{"held", func(s *rehearsal, p *phone) {
		s.do("cue", `{"look": "warden", "fade": "60 s", "at": 0.4}`)
		p.await("it is held", `pad.dataset.state === "held"`)
	}, ended},
	{"killed", func(s *rehearsal, p *phone) {
		s.do("kill", `{"on": true}`)
		p.await("all is off", `pad.dataset.state === "killed"`)
	}, func(s *rehearsal, p *phone) { s.do("kill", `{"on": false}`) }},
	{"worklight", func(s *rehearsal, p *phone) {
		s.do("worklight", `{"on": true}`)
		p.await("it is on", `part("worklight").dataset.on === "true"`)
	}, func(s *rehearsal, p *phone) { s.do("worklight", `{"on": false}`) }},
	{"dry", func(s *rehearsal, p *phone) {
		s.do("dry", `{"on": true}`)
		p.await("it is dry", `pad.dataset.state === "dry"`)
	}, func(s *rehearsal, p *phone) { s.do("dry", `{"on": false}`) }},
	{"hot", func(s *rehearsal, p *phone) {
		s.do("take", `{"do": "roll", "scene": "12", "slate": "A"}`)
		p.await("it is hot", `part("status-hot")`)
	}, func(s *rehearsal, p *phone) { s.do("take", `{"do": "cut"}`) }},
	{"refused", func(s *rehearsal, p *phone) {
		ask[any](p, `dispatchEvent(new KeyboardEvent("keydown", {key: "h"})); return null;`)
		p.await("it is refused", `part("refusal")`)
	}, func(s *rehearsal, p *phone) {
		s.do("standby", `{"cue": 2}`)
		p.strike("[")
		p.strike("]")
		p.await("the refusal is over", `!part("refusal")`)
	}},
	{"details", func(s *rehearsal, p *phone) { p.panel("i", "details") }, closed},
	{"keys", func(s *rehearsal, p *phone) { p.panel("?", "keys") }, closed},
	{"meter", func(s *rehearsal, p *phone) { p.panel("m", "meter") }, closed},
	{"paint", inPlace("paint"), setAgain},
	{"rig", inPlace("rig"), setAgain},
	{"takes", inPlace("takes"), setAgain},
	{"rehearse", func(s *rehearsal, p *phone) { openRehearsal(p) }, closed},
}

// inPlace goes to one of the places beside the set and waits for it.
func inPlace(name string) func(*rehearsal, *phone) {
	return func(_ *rehearsal, p *phone) {
		p.tap("place-" + name)
		p.await(name, `document.querySelector('[data-test="room-`+name+`"] > :not(.room-coming)')`)
	}
}

func setAgain(_ *rehearsal, p *phone) { p.tap("place-set") }

func ended(s *rehearsal, p *phone) {
	s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
}

func closed(_ *rehearsal, p *phone) {
	p.strike("Escape")
	p.await("the strip", `part("strip") && !document.querySelector("[role=dialog]")`)
}

// strike sends a key to the page.
func (p *phone) strike(key string) {
	p.t.Helper()
	ask[any](p, fmt.Sprintf(`
		const to = document.activeElement ?? document.body;
		to.dispatchEvent(new KeyboardEvent("keydown", {key: %[1]q, bubbles: true, cancelable: true}));
		to.dispatchEvent(new KeyboardEvent("keyup", {key: %[1]q, bubbles: true, cancelable: true}));
		return null;`, key))
}

// panel opens a panel by its key.
func (p *phone) panel(key, name string) {
	p.t.Helper()
	p.strike(key)
	p.await(name, `part("`+name+`")`)
}

// finding is what axe-core says of one rule.
type finding struct {
	ID, Impact, Help string
	Nodes            []string
}

// axe runs axe-core on the page as it is, by the rules of WCAG 2.2 A and AA and its own
// good practice, and gives what is serious or critical.
func (p *phone) axe(source string) []finding {
	p.t.Helper()
	ask[any](p, `if (!window.axe) { `+source+` } window.axeSays = null;
		axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]})
			.then((r) => { window.axeSays = r.violations; }, (e) => { window.axeSays = [{id: "axe", impact: "critical", help: String(e), nodes: []}]; });
		return null;`)
	p.await("axe has run", `window.axeSays`)
	all := ask[[]finding](p, `return window.axeSays.map((v) => ({ID: v.id, Impact: v.impact, Help: v.help, Nodes: v.nodes.map((n) => n.html.slice(0, 160) + " | " + n.failureSummary.slice(0, 300))}));`)
	var grave []finding
	for _, f := range all {
		if f.Impact == "serious" || f.Impact == "critical" {
			grave = append(grave, f)
		} else {
			p.t.Logf("minor: %s: %s %v", f.ID, f.Help, f.Nodes)
		}
	}
	return grave
}

func axeSource(t testing.TB) string {
	t.Helper()
	_, modules := outside.NodeModules(t, "axe-core")
	source, err := os.ReadFile(filepath.Join(modules, "axe-core", "axe.min.js"))
	require.NoError(t, err)
	return string(source)
}

// TestNothingGraveByAxe: axe-core finds nothing serious or critical on any screen in any
// state, by night and by day. With LINKBOY_PICTURES each is taken as a picture too.
func TestNothingGraveByAxe(t *testing.T) {
	source := axeSource(t)
	s := newStage(t, 177)
	p := openPhone(t, browser(t), s.url, planOnly)
	s.do("standby", `{"cue": 2}`)
	p.await("the stand-by", `text("pad-look") === "warden"`)
	for _, theme := range []string{"night", "day"} {
		p.wear(theme)
		for _, sc := range screens {
			t.Run(theme+"/"+sc.name, func(t *testing.T) {
				p.t = t
				if sc.in != nil {
					sc.in(s, p)
				}
				p.frames(2)
				for _, f := range p.axe(source) {
					t.Errorf("%s (%s): %s\n  %s", f.ID, f.Impact, f.Help, strings.Join(f.Nodes, "\n  "))
				}
				p.shootBoth(theme + "-" + sc.name)
				if sc.out != nil {
					sc.out(s, p)
				}
				s.do("standby", `{"cue": 2}`)
				p.await("it stands by again", `pad.dataset.state === "standby"`)
			})
		}
	}
}

// TestGerman: a browser that asks for German gets it; the switch in the details goes back,
// and is kept. Axe finds nothing grave in it either.
func TestGerman(t *testing.T) {
	source := axeSource(t)
	s := newStage(t, 199)
	p := openPhone(t, browser(t), s.url, planOnly, `Object.defineProperty(navigator, "languages", {get: () => ["de-DE", "en"]}); Object.defineProperty(navigator, "language", {get: () => "de-DE"});`)
	require.Equal(t, "de", ask[string](p, `return document.documentElement.lang;`))
	require.Equal(t, "bereit", ask[string](p, `return text("pad-word");`))
	p.strike("]")
	s.do("standby", `{"cue": 1}`)
	p.await("a time with its comma", `/^\d(,\d)? s/.test(text("pad-time")) || text("pad-time").startsWith("ohne Zeit")`)
	for _, sc := range screens {
		switch sc.name {
		case "standby", "details", "keys", "meter", "paint", "rehearse":
			if sc.in != nil {
				sc.in(s, p)
			}
			for _, f := range p.axe(source) {
				t.Errorf("%s: %s (%s): %s %v", sc.name, f.ID, f.Impact, f.Help, f.Nodes)
			}
			p.shootBoth("german-" + sc.name)
			if sc.out != nil {
				sc.out(s, p)
			}
		}
	}
	p.panel("i", "details")
	ask[any](p, `part("language-en").click(); return null;`)
	p.await("English", `document.documentElement?.lang === "en" && text("pad-word") === "standing by"`)
}

// wear chooses a theme in the details.
func (p *phone) wear(theme string) {
	p.t.Helper()
	p.panel("i", "details")
	ask[any](p, `if (part("theme").dataset.theme !== "`+theme+`") part("theme").click(); return null;`)
	p.strike("Escape")
	p.await(theme, `document.documentElement.dataset.theme === "`+theme+`" && !part("details")`)
}

// shootBoth takes pictures of the page on a phone and on a desk where they are asked for.
func (p *phone) shootBoth(name string) {
	p.t.Helper()
	if pictureDir() == "" {
		return
	}
	for _, size := range [][3]int64{{1440, 900, 1}, {360, 740, 2}} {
		p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2]))))
		p.frames(6)
		png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(p.t, err)
		savePicture(p.t, fmt.Sprintf("%s-%d.png", name, size[0]), png)
	}
}
