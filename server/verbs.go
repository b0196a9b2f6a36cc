package server

import (
	"fmt"
	"net/http"

	"linkboy/cues/session"
)

// verb is one thing that may be asked of the director, by POST /api/NAME or
// over the websocket. read takes the fields of a request and gives what is to
// be done; nothing has been done yet when it returns.
type verb struct {
	name string
	read func(Director, *fields) func() error
}

// verbs are all there are. The page, scripts and checks are written against
// these names and fields.
var verbs = []verb{
	{"cue", readCue},
	{"standby", readStandby},
	{"hold", plain(Director.Hold)},
	{"resume", plain(Director.Resume)},
	{"snap", plain(Director.Snap)},
	{"back", plain(Director.Back)},
	{"ride", readRide},
	{"overall", func(d Director, f *fields) func() error {
		level := f.needText("level", "80%")
		return func() error { return d.Overall(level) }
	}},
	{"worklight", func(d Director, f *fields) func() error {
		on := f.flag("on")
		return func() error { return d.WorkLight(on) }
	}},
	{"kill", func(d Director, f *fields) func() error {
		on := f.flag("on")
		return func() error { return d.Kill(on == nil || *on) }
	}},
	{"dry", readDry},
	{"take", readTake},
	{"as-shot", func(d Director, f *fields) func() error {
		r := session.ShotRequest{Take: f.needCount("take", 12), Event: f.eventNumber(), Fade: f.text("fade", "1 s")}
		return func() error { return d.AsShot(r) }
	}},
	{"location", func(d Director, f *fields) func() error {
		name := f.needText("name", "deep-end")
		return func() error { return d.Location(name) }
	}},
	{"setup", func(d Director, f *fields) func() error {
		r := session.SetupRequest{Setup: f.text("setup", "reverse"), Fade: f.text("fade", "1 s")}
		return func() error { return d.Setup(r) }
	}},
	{"timecode", func(d Director, f *fields) func() error {
		r := session.TimecodeRequest{Run: f.flag("run"), At: f.text("at", "01:00:12:08"), Offset: f.text("offset", "-01:00:00:00")}
		if jam := f.flag("jam"); jam != nil {
			r.Jam = *jam
		}
		return func() error { return d.Timecode(r) }
	}},
	{"tempo", func(d Director, f *fields) func() error {
		r := session.TempoRequest{
			BPM: f.number("bpm", 120), Taps: f.numbers("taps", "[0, 500, 1000, 1500]"), BeatsPerBar: f.count("beats_per_bar"),
		}
		if written := f.flag("as_written"); written != nil {
			r.AsWritten = *written
		}
		return func() error { return d.Tempo(r) }
	}},
}

func plain(do func(Director) error) func(Director, *fields) func() error {
	return func(d Director, _ *fields) func() error {
		return func() error { return do(d) }
	}
}

func readCue(d Director, f *fields) func() error {
	c := session.CueRequest{
		Target: readTarget(f),
		Fade:   f.text("fade", "4 s"), Delay: f.text("delay", "1 s"),
		Curve: f.text("curve", "soft"), Path: f.text("path", "short"), Spread: f.text("spread", "1.2 s along edge"),
		At: f.share("at"), CountIn: f.text("count_in", "4 beats"),
	}
	return func() error { return d.Cue(c) }
}

func readStandby(d Director, f *fields) func() error {
	target := readTarget(f)
	if n := f.count("take"); n != nil {
		target.Take = int64(*n)
	}
	target.Event = f.eventNumber()
	return func() error { return d.Standby(target) }
}

func readTarget(f *fields) session.Target {
	return session.Target{Look: f.text("look", "warden"), Cue: f.count("cue")}
}

func readRide(d Director, f *fields) func() error {
	progress := f.share("at")
	if progress == nil {
		f.fail(missing("at", `{"at": 0.5}`))
		return nil
	}
	return func() error { return d.Ride(*progress) }
}

func readDry(d Director, f *fields) func() error {
	on := f.flag("on")
	if on == nil {
		f.fail(missing("on", `{"on": true}`))
		return nil
	}
	return func() error { return d.Dry(*on) }
}

// verbNamed finds a verb.
func verbNamed(name string) (verb, *Problem) {
	for _, v := range verbs {
		if v.name == name {
			return v, nil
		}
	}
	known := verbNames()
	return verb{}, &Problem{
		http.StatusNotFound, codeUnknownVerb,
		fmt.Sprintf("there is no verb %q%s", name, hint(name, known)), "verb", mendWords(name, known),
	}
}

func verbNames() []string {
	names := make([]string, 0, len(verbs)+len(editVerbs))
	for _, v := range verbs {
		names = append(names, v.name)
	}
	for _, v := range editVerbs {
		names = append(names, v.name)
	}
	return names
}

// run reads the fields of one request and does what they ask, for who asks. It counts
// the verb by how it ended.
func (s *Server) run(v verb, f *fields, who session.Trigger) error {
	err := s.try(v, f, who)
	s.metrics.verbDone(v.name, err)
	return err
}

func (s *Server) try(v verb, f *fields, who session.Trigger) error {
	do := v.read(s.director, f)
	who.Source = f.source(who.Source)
	if p := f.problem(); p != nil {
		return p
	}
	who.Command, who.Bounces = f.command(v.name), f.bounces(v.name)
	return s.director.Do(who, do)
}
