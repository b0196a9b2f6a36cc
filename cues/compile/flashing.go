package compile

import (
	"fmt"
	"slices"
	"time"

	"linkboy/colour"
	"linkboy/colour/safety"
	"linkboy/cues"
	"linkboy/cues/track"
)

// How long movement is watched: a wave for so many of its periods, so that
// frames fall on all of them, and everything for no less and no more than this.
const (
	watchPeriods = 8
	leastWatch   = 10 * time.Second
	mostWatch    = 17 * time.Minute // the longest noise
	sumWatch     = 2 * time.Minute  // of many cells together
)

// Flash is how much a movement flashes in its worst second.
type Flash struct {
	safety.Flashing
	Speed    float64 // at which it plays then: 1 on set
	Together bool    // all cells together; else one of them by itself
}

// Flashes counts the flashes of a movement, frame by frame as it is played: of
// every cell by itself and of all together, each as on set and as on screen in
// every set-up. What light is compared with is the brightest that it is while it
// moves: how bright that is in the picture is the camera's to say.
func (p *Place) Flashes(m *track.Motion) Flash {
	worst := Flash{Speed: 1}
	if m == nil {
		return worst
	}
	w := &watcher{place: p, speeds: p.speeds(), still: p.Dark(), worst: &worst}
	seen := map[[2]int32]bool{}
	for i := range m.Cells {
		key := [2]int32{m.Cells[i].Source, m.Cells[i].ValueAt}
		if !seen[key] { // those of another phase do the same at other times
			seen[key] = true
			w.watch(m.Only(i, i+1), mostWatch)
		}
	}
	if n := len(m.Cells); n > 1 {
		w.watch(m, sumWatch)
	}
	return worst
}

// speeds gives how fast the location plays: on set, and on screen in each set-up.
func (p *Place) speeds() []float64 {
	speeds := []float64{1}
	add := func(fps float64) {
		if fps > 0 && p.Show.Timeline > 0 && !slices.Contains(speeds, p.Show.Timeline/fps) {
			speeds = append(speeds, p.Show.Timeline/fps)
		}
	}
	add(p.Show.Camera.FPS)
	for _, s := range p.Location.Setups {
		shot := p.Show.Shot(s)
		add(shot.FPS)
	}
	return speeds
}

// watcher watches movement and keeps the worst of it.
type watcher struct {
	place  *Place
	speeds []float64
	still  track.Still
	worst  *Flash
}

// watch counts the flashes of the light of a motion, for no longer than most.
func (w *watcher) watch(m *track.Motion, most time.Duration) {
	seen := w.light(m, most)
	full, channel := 0.0, 0.0
	for i := range seen {
		r, g, b := seen[i].Light.SRGB()
		full, channel = max(full, seen[i].Light.Y), max(channel, r, g, b)
	}
	if full <= 0 || channel <= 0 {
		return
	}
	// A screen at its reddest has no more red than its white has.
	bright, red := scaled(seen, 1/full), scaled(seen, 1/channel)
	for _, speed := range w.speeds {
		f := Flash{Speed: speed, Together: len(m.Cells) > 1}
		f.General, f.Red = bright.OnScreen(speed).Worst().General, red.OnScreen(speed).Worst().Red
		if max(f.General, f.Red) > max(w.worst.General, w.worst.Red) {
			*w.worst = f
		}
	}
}

// light gives what all cells of a motion give, frame by frame.
func (w *watcher) light(m *track.Motion, most time.Duration) safety.Sequence {
	at := make(map[int32]*Cell, len(w.place.Cells))
	for i := range w.place.Cells {
		at[int32(w.place.Cells[i].First)] = &w.place.Cells[i]
	}
	long := leastWatch
	for i := range m.Cells {
		long = max(long, watchPeriods*min(m.Sources[m.Cells[i].Source].Period, most))
	}
	seen := make(safety.Sequence, int(min(long, most).Seconds()*lookRate))
	for k := range seen {
		seen[k].At = time.Duration(k) * time.Second / lookRate
		m.At(seen[k].At, w.still)
		sum := &seen[k].Light
		for i := range m.Cells {
			c := at[m.Cells[i].First]
			light := c.mix.Light(c.get(w.still))
			*sum = colour.XYZ{X: sum.X + light.X, Y: sum.Y + light.Y, Z: sum.Z + light.Z}
		}
	}
	return seen
}

func scaled(s safety.Sequence, by float64) safety.Sequence {
	out := make(safety.Sequence, len(s))
	for i := range s {
		out[i] = safety.State{At: s[i].At, Light: s[i].Light.Scale(by)}
	}
	return out
}

// flashing tells of movement that flashes over the limit.
func (w *painter) flashing(m *track.Motion) {
	f := w.place.Flashes(m)
	if m != nil {
		m.Flashes = max(f.General, f.Red)
	}
	if !f.Exceeds() {
		return
	}
	what, count := "", f.General
	if f.Red > f.General {
		what, count = "to and from red ", f.Red
	}
	who, where := "a cell", "on set"
	if f.Together {
		who = "what moves"
	}
	if f.Speed != 1 {
		where = fmt.Sprintf("on screen, at %.3g of the speed,", f.Speed)
	}
	at := w.look.At
	for i := range w.cells {
		if t := &w.cells[i]; t.moving != nil {
			at = t.moving.of.At
			break
		}
	}
	problem := cues.NewProblem(at, cues.CodeFlashing,
		fmt.Sprintf("look %q at %s: %s flashes %s%.1f times in a second %s", w.look.Name, w.place.Location.Name, who, what, count, where),
		"more than three flashes in a second can bring on seizures (WCAG 2.3.1; for people in the light that is the loosest limit)",
		"slow it down or make it shallower; only when cast, crew and audience are warned and anyone can stop it, write safety: {flashing: warned}; local rules go first")
	if w.place.Show.Safety.FlashingWarned {
		w.warn(problem)
		return
	}
	w.add(problem)
}
