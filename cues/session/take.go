package session

import (
	"context"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"linkboy/cues"
	"linkboy/cues/take"
)

// Journal keeps takes, elsewhere. But for Wait, Get and Change its methods return at
// once; events are made by whoever writes them down.
type Journal interface {
	// Wait waits until takes can be written down; its error says why they cannot.
	Wait(ctx context.Context) error
	// Next gives the slate that was last in use, where both are "", and the number
	// that its next take has.
	Next(scene, slate string) (string, string, int)
	// Roll gives the take its id and number.
	Roll(t take.Take, first func() take.Event) (take.Take, take.Ack)
	Event(id int64, event func() take.Event)
	Cut(t take.Take, last func() take.Event) take.Ack
	Change(ctx context.Context, id int64, c take.Change) error
	Get(ctx context.Context, id int64) (*take.Take, error)
	Status() take.Status
}

// TakeRequest asks for something about a take.
type TakeRequest struct {
	// Do is "roll", "cut", or "change" for a take that is written down.
	Do string `json:"do"`
	// Take is the id of the take to change; 0 is the one that rolls, else the newest.
	Take int64 `json:"take,omitempty"`
	// Scene and Slate of a roll stay as they were when both are nil.
	Scene   *string `json:"scene,omitempty"`
	Slate   *string `json:"slate,omitempty"`
	Number  *int    `json:"number,omitempty"` // of a roll: nil counts up
	Setup   string  `json:"setup,omitempty"`  // of a roll
	Clip    *string `json:"clip,omitempty"`   // what the camera calls it
	Note    *string `json:"note,omitempty"`
	Circled *bool   `json:"circled,omitempty"`
}

// How long a verb waits for the disk. Light never does.
const (
	openWait = 2 * time.Second
	diskWait = 3 * time.Second
)

// rolling is the take that rolls.
type rolling struct {
	take    take.Take
	kept    *bool // nil until the disk has answered
	events  int
	last    moment
	pending take.Kind // a ride or overall that has not come to rest; "" for none
	rest    time.Time // when it will have
}

// Take rolls, cuts, or changes a take that is written down. An answer without an
// error means that the disk has it, or that the state says with kept and a warning
// that it has not: a full disk keeps nobody from rolling.
func (s *Session) Take(r TakeRequest) error {
	if s.journal == nil {
		return noJournal()
	}
	if err := checkTexts(&r); err != nil {
		return err
	}
	switch r.Do {
	case "roll":
		return s.rollTake(r)
	case "cut":
		return s.cutTake(r)
	case "change":
		return s.changeTake(r)
	}
	return &Refusal{Code: codeNoTarget, Message: fmt.Sprintf("%q is nothing to do with a take", r.Do), Where: "do", Mend: "say roll, cut or change", Kind: Invalid}
}

func noJournal() *Refusal {
	return refuse(Conflict, codeNoJournal, "takes are not written down here", "run a show from its folder: linkboy serve SHOW")
}

// checkTexts cleans the texts of a request and refuses what is too long.
func checkTexts(r *TakeRequest) error {
	for _, f := range []struct {
		name string
		text **string
		most int
	}{{"scene", &r.Scene, take.LongestName}, {"slate", &r.Slate, take.LongestName}, {"clip", &r.Clip, take.LongestName}, {"note", &r.Note, take.LongestNote}} {
		if *f.text == nil {
			continue
		}
		clean := take.Clean(**f.text)
		*f.text = &clean
		if n := utf8.RuneCountInString(clean); n > f.most {
			return &Refusal{Code: cues.CodeOutOfRange, Message: fmt.Sprintf("%s has %d letters", f.name, n), Where: f.name, Mend: fmt.Sprintf("write at most %d", f.most), Kind: Invalid}
		}
	}
	return nil
}

// slateOf gives the slate that a roll is for.
func (s *Session) slateOf(r *TakeRequest) (scene, slate string, err error) {
	scene, slate, _ = s.journal.Next("", "")
	if r.Scene != nil {
		if *r.Scene != scene {
			slate = ""
		}
		scene = *r.Scene
	}
	if r.Slate != nil {
		slate = *r.Slate
	}
	if scene == "" && slate == "" {
		return "", "", refuse(Invalid, codeNoSlate, "no scene and no slate are given, and none has been used before", `name them: {"do": "roll", "scene": "12", "slate": "A"}`)
	}
	return scene, slate, nil
}

func (s *Session) rollTake(r TakeRequest) error {
	s.waitForJournal()
	scene, slate, err := s.slateOf(&r)
	if err != nil {
		return err
	}
	ack, roll, err := s.beginTake(&r, scene, slate)
	if err != nil {
		return err
	}
	err = waitForDisk(ack)
	s.mu.Lock()
	defer s.mu.Unlock()
	if errors.Is(err, take.ErrDoubled) {
		if s.rolling == roll {
			s.rolling = nil
			s.heat(false)
			s.changed()
		}
		return takeRefusal(err)
	}
	roll.kept = new(err == nil)
	s.changed()
	return nil
}

// beginTake makes the set hot.
func (s *Session) beginTake(r *TakeRequest, scene, slate string) (take.Ack, *rolling, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.hot {
		return take.Ack{}, nil, refuse(Conflict, codeHot, "take "+s.rolling.take.Name()+" rolls already", `cut it first: {"do": "cut"}`)
	}
	t, err := s.newTake(r)
	if err != nil {
		return take.Ack{}, nil, err
	}
	if s.now.pointing != nil {
		if err := s.endPoint(); err != nil {
			return take.Ack{}, nil, err
		}
	}
	t.Scene, t.Slate = scene, slate
	roll := &rolling{events: 1, last: s.moment(s.snapshot())}
	var ack take.Ack
	roll.take, ack = s.journal.Roll(t, s.capture(take.Roll, 1, false, t.Rolled))
	s.rolling = roll
	s.heat(true)
	s.changed()
	return ack, roll, nil
}

// newTake puts down how a take is shot. s.mu must be held.
func (s *Session) newTake(r *TakeRequest) (take.Take, error) {
	site := s.site.Load()
	loc, show := site.loc, site.show()
	camera, lens := show.Camera, 0.0
	setup := site.setup
	if r.Setup != "" {
		var err error
		if setup, err = site.setupNamed(r.Setup); err != nil {
			return take.Take{}, err
		}
	}
	name := ""
	if setup != nil {
		camera, lens, name = show.Shot(setup), setup.LensMM, setup.Name
	}
	now, snap, tempo := time.Now(), s.snapshot(), s.clock().Tempo
	t := take.Take{
		Show: site.showName(), Location: loc.Name, Setup: name, Rolled: now, From: s.labels(now),
		Camera: take.Camera{
			ISO: camera.ISO, Stop: camera.Stop, ShutterDeg: camera.ShutterDeg, FPS: camera.FPS,
			Timeline: show.Timeline, BalanceK: float64(camera.Balance), LensMM: lens,
		},
		Tempo: take.Tempo{BPM: tempo.BPM, BeatsPerBar: tempo.BeatsPerBar}, Looks: []string{},
		Warnings: []string{}, Readings: []take.Reading{},
	}
	r.fill(&t)
	warned := append(s.warnings(snap), s.tryWarnings()...)
	if s.network != nil {
		warned = append(warned, s.network(snap.Addresses)...)
	}
	for _, w := range warned {
		t.Warnings = append(t.Warnings, w.Message)
	}
	if s.readings != nil {
		t.Readings = append(t.Readings, s.readings()...)
	}
	return t, nil
}

// fill puts the words of a request into a take.
func (r *TakeRequest) fill(t *take.Take) {
	if r.Number != nil {
		t.Number = *r.Number
	}
	if r.Note != nil {
		t.Note = *r.Note
	}
	if r.Clip != nil {
		t.Clip = *r.Clip
	}
	if r.Circled != nil {
		t.Circled = *r.Circled
	}
}

func (s *Session) cutTake(r TakeRequest) error {
	ack, cut, err := s.endTake(&r)
	if err != nil {
		return err
	}
	err = waitForDisk(ack)
	s.mu.Lock()
	defer s.mu.Unlock()
	cut.Kept = new(err == nil)
	s.changed()
	return nil
}

// endTake ends the hot set.
func (s *Session) endTake(r *TakeRequest) (take.Ack, *TakeMark, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.hot {
		return take.Ack{}, nil, refuse(Conflict, codeNotRolling, "no take rolls", `roll one first: {"do": "roll"}`)
	}
	roll, now := s.rolling, time.Now()
	words := *r
	words.Number = nil
	words.fill(&roll.take)
	roll.take.Cut, roll.take.To = now, s.labels(now)
	roll.events++
	ack := s.journal.Cut(roll.take, s.capture(take.End, roll.events, false, now))
	mark := roll.mark()
	mark.Kept = nil
	s.lastTake, s.rolling = mark, nil
	s.heat(false)
	s.changed()
	return ack, mark, nil
}

// changeTake puts a take right.
func (s *Session) changeTake(r TakeRequest) error {
	id, err := s.takeMeant(&r)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.Background(), diskWait)
	defer cancel()
	if err := s.journal.Change(ctx, id, take.Change{Scene: r.Scene, Slate: r.Slate, Note: r.Note, Clip: r.Clip, Number: r.Number, Circled: r.Circled}); err != nil {
		return takeRefusal(err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rolling != nil && s.rolling.take.ID == id {
		r.fill(&s.rolling.take)
	}
	if m := s.lastTake; m != nil && m.ID == id {
		m.change(&r)
	}
	s.changed()
	return nil
}

// takeMeant gives the id of the take that a change is for.
func (s *Session) takeMeant(r *TakeRequest) (int64, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := r.Take
	switch {
	case id == 0 && s.rolling != nil:
		id = s.rolling.take.ID
	case id == 0 && s.lastTake != nil:
		id = s.lastTake.ID
	case id == 0:
		return 0, refuse(Invalid, codeNoTarget, "no take is named, and none has been shot since the daemon started", `name it: {"do": "change", "take": 12, "note": "soft"}`)
	}
	if s.rolling != nil && id == s.rolling.take.ID && (r.Scene != nil || r.Slate != nil || r.Number != nil) {
		return 0, refuse(Conflict, codeHot, "this take rolls", "cut it, then put its slate right")
	}
	return id, nil
}

// takeRefusal turns an error of the journal into a refusal.
func takeRefusal(err error) error {
	switch {
	case errors.Is(err, take.ErrUnknown):
		return refuse(Unknown, codeUnknownTake, err.Error(), "see the takes there are at /api/takes")
	case errors.Is(err, take.ErrDoubled):
		return refuse(Conflict, codeDoubledTake, err.Error(), "leave the number out of a roll, or give one that is free")
	}
	return refuse(Conflict, codeNoJournal, "the journal of takes: "+err.Error(), "free room on the disk and let the show's folder be written to; the light goes on")
}

func waitForDisk(ack take.Ack) error {
	ctx, cancel := context.WithTimeout(context.Background(), diskWait)
	defer cancel()
	return ack.Wait(ctx)
}

// waitForJournal gives a journal that is just being opened the time for that.
func (s *Session) waitForJournal() {
	ctx, cancel := context.WithTimeout(context.Background(), openWait)
	defer cancel()
	_ = s.journal.Wait(ctx)
}
