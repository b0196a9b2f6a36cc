package session

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/take"
	"linkboy/cues/track"
)

// Config is what a session needs.
type Config struct {
	Show     *cues.Show // loaded without errors; Replace changes it
	Location string     // where to start; "" is where it stopped, else the first
	Output   play.Output
	// Preview takes the frames of dry runs; nil for nobody.
	Preview play.Output
	// Arrive is told each location before its first frame goes out, the one of
	// the start too, so that the output can turn to it. It must return at once
	// and call nothing of the session; nil for nobody.
	Arrive func(*cues.Location)
	Waiter play.Waiter // how the loop sleeps; nil is play.Timers
	Rate   int         // frames a second; 0 is play.DefaultRate
	Dry    bool        // start as a dry run
	// StatePath is the file that remembers what was on; "" remembers nothing.
	StatePath string
	// Lighter has the light of places computed; nil leaves levels at marks unsolved.
	Lighter Lighter
	// Journal keeps takes; nil refuses to roll.
	Journal Journal
	// Readings gives what lamps have told of themselves, without asking them, and
	// Network what is wrong with the network that fills these port-addresses: both
	// are put down at roll. They must return at once; nil for nobody.
	Readings func() []take.Reading
	Network  func(ports []uint16) []Warning
	Logger   *slog.Logger // nil is silent
}

// Session runs one show. It is safe for concurrent use.
type Session struct {
	log     *slog.Logger
	engine  *play.Engine
	rate    int
	store   *store
	hub     hub
	lighter Lighter // nil for none
	site    atomic.Pointer[site]
	turn    func(*cues.Location) // tells the output; never nil
	runs    atomic.Bool          // between the start and the end of Run
	poke    chan struct{}        // the minder looks at its timers again
	ready   chan struct{}        // the preparer compiles the stand-by
	codes   chan heard           // labels of time code that came in
	moved   chan struct{}        // the place has changed: its light is asked for
	cooled  chan struct{}        // the set is not hot any more: what waited is taken in
	journal Journal              // nil for none

	replacing sync.Mutex // one change of the show at a time; taken before mu

	readings func() []take.Reading
	network  func(ports []uint16) []Warning

	presses presses
	rolls   rolls

	mu       sync.Mutex // serialises the verbs; guards all below
	revision uint32     // of the plan
	now      now
	before   departure
	standby  *standby
	follow   *follow
	count    *count
	tempos   map[string]ownTempo // by location
	last     command
	timing   timing
	glide    glide
	light    Lighting          // of the place, as far as it is computed
	visited  map[string]string // location -> look that was on when it was left
	setups   map[string]string // location -> set-up that was chosen there
	flashes  flashes
	pointed  time.Time // when a lamp was last pointed at
	rolling  *rolling  // the take; nil when none rolls
	lastTake *TakeMark // the newest, once it is cut
	loaded   []Warning // what was remembered and is not there; until a person has changed the set
	hot      bool      // a take rolls: changes of the show wait
	queue    []queued  // they, the oldest first
	waiting  int       // how many were asked for
	trying   string    // the look that the set shows as it is tried; "" for none
	leftOut  error     // why what waited last was not taken in
	scratch  play.Snapshot
}

// now is what is on, or where the running fade goes.
type now struct {
	look  string
	cue   int // of the sheet, that brought the look; 0 for none
	still track.Still
	// motion is what moves over still; nil when nothing does.
	motion *track.Motion
	dark   bool  // the cue may go under floor light
	bare   bool  // the still is that of a dark cue; what covers it may have ended dark since
	shot   *shot // the take that is on again; nil for a look

	changeID uint64 // the fade that brought the look
	fadeID   uint64
	fadeFrom string
	fadeTo   string
	fade     *track.Fade    // of fadeID
	timing   compile.Timing // its

	killed bool
	work   bool
	// pointing is the lamp that is pointed at; nil for none, and under work light or a kill.
	pointing *pointing
	under    track.Still   // what work light, pointing or a kill covers, when it is not still
	short    time.Duration // what a fade that they covered still had to go
	dry      bool
	overall  float64
}

// Open makes a session ready to run: the location compiled, in the look it had
// when it stopped, else in that of the first cue. The problems are warnings
// about the location and the state file; neither stops a session. The error
// tells why there is nothing to run.
func Open(cfg Config) (*Session, cues.Problems, error) {
	if cfg.Show == nil || len(cfg.Show.Locations) == 0 {
		return nil, nil, errors.New("open session: the show has no location to light")
	}
	s := &Session{
		log: cfg.Logger, rate: cmp.Or(cfg.Rate, play.DefaultRate),
		engine:  play.New(play.Config{Rate: cfg.Rate, Output: cfg.Output, Preview: cfg.Preview, Waiter: cfg.Waiter}),
		poke:    make(chan struct{}, 1),
		ready:   make(chan struct{}, 1),
		codes:   make(chan heard, codeRoom),
		moved:   make(chan struct{}, 1),
		cooled:  make(chan struct{}, 1),
		lighter: cfg.Lighter,
		journal: cfg.Journal, readings: cfg.Readings, network: cfg.Network,
		visited: map[string]string{}, setups: map[string]string{},
		tempos: map[string]ownTempo{},
	}
	if s.turn = cfg.Arrive; s.turn == nil {
		s.turn = func(*cues.Location) {}
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	s.store = newStore(cfg.StatePath, s.log)
	kept, problems := s.store.read()
	s.loaded = warningsOf(problems)
	for name, look := range kept.Locations {
		s.visited[name] = look
	}
	for name, t := range kept.Tempos {
		s.tempos[name] = ownTempo{cues.Tempo{BPM: t.BPM, BeatsPerBar: t.BeatsPerBar}, t.Source}
	}
	for name, setup := range kept.Setups {
		s.setups[name] = setup
	}
	loc, err := s.firstLocation(cfg.Show, cfg.Location, kept.Location)
	if err != nil {
		return nil, problems, err
	}
	site, light, found := newSite(cfg.Show, loc, s.setupAt(loc), s.lighter, nil)
	problems = append(problems, found...)
	if site == nil {
		return nil, problems, fmt.Errorf("open session: %s cannot be lit: %w", loc.Name, found)
	}
	s.now.overall = 1
	if kept.Overall != nil {
		s.now.overall = *kept.Overall
	}
	s.now.dry = cfg.Dry
	if kept.Location != loc.Name {
		kept = state{Look: s.visited[loc.Name]}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.arrive(site, light, kept); err != nil {
		return nil, problems, fmt.Errorf("open session: %w", err)
	}
	if err := errors.Join(s.engine.Overall(s.now.overall), s.engine.Dry(cfg.Dry)); err != nil {
		return nil, problems, fmt.Errorf("open session: %w", err)
	}
	return s, problems, nil
}

// firstLocation chooses where to start: the one asked for, else the one it
// stopped at, else the first.
func (s *Session) firstLocation(show *cues.Show, asked, kept string) (*cues.Location, error) {
	if asked != "" {
		if loc := show.Location(asked); loc != nil {
			return loc, nil
		}
		return nil, unknownLocation(show, asked)
	}
	if loc := show.Location(kept); loc != nil {
		return loc, nil
	}
	first := show.Locations[0]
	if kept != "" {
		s.loaded = append(s.loaded, Warning{
			Code: codeLocationGone, Where: first.Name, Mend: "switch to the location that should be lit",
			Message: fmt.Sprintf("the location %q that was lit is no part of the show any more", kept),
		})
	}
	return first, nil
}

// Show is the show that runs. It is not to be changed: see Replace.
func (s *Session) Show() *cues.Show { return s.site.Load().show() }

// Run plays until ctx ends, then writes what was on and returns nil. A session
// runs once.
func (s *Session) Run(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	wait.Go(func() { s.store.run(ctx) })
	wait.Go(func() { s.mind(ctx) })
	wait.Go(func() { s.prepare(ctx) })
	wait.Go(func() { s.illuminate(ctx) })
	wait.Go(func() { s.absorb(ctx) })
	s.runs.Store(true)
	s.wantReady()
	err := s.engine.Run(ctx)
	s.runs.Store(false)
	cancel()
	wait.Wait()
	return err
}

// settleTime is how long a verb waits for the loop to show what it did.
const settleTime = 250 * time.Millisecond

// settle waits until what was asked of the engine can be seen, so that whoever
// asks for the state after a verb sees what it did. An engine that is kept by
// its output is not waited for: what was asked happens all the same.
func (s *Session) settle() {
	if !s.runs.Load() {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), settleTime)
	defer cancel()
	_ = s.engine.Wait(ctx)
}

// changed tells everyone who listens and keeps what is on; s.mu must be held.
func (s *Session) changed() {
	s.noteTake()
	s.store.keep(s.memory())
	s.hub.wake()
	select {
	case s.poke <- struct{}{}:
	default:
	}
}

// snapshot gives the newest state of the engine; s.mu must be held, and the
// result is good until the next call.
func (s *Session) snapshot() *play.Snapshot {
	s.engine.Snapshot(&s.scratch)
	return &s.scratch
}

// onSet gives what is on now as the start of a fade: the engine's own state,
// dark under a kill. Before the engine runs it is what was loaded.
func (s *Session) onSet(snap *play.Snapshot) track.Still {
	place := s.site.Load().place
	switch {
	case s.now.killed:
		return place.Dark()
	case len(snap.Still) != len(place.Layout.Slots):
		return s.now.still
	}
	return snap.Still
}

// running tells whether the fade that this session started last still runs.
func (s *Session) running(snap *play.Snapshot) bool {
	return snap.Running && snap.FadeID == s.now.fadeID
}

// stopped turns an error of the engine into a refusal.
func stopped(err error) error {
	if err == nil {
		return nil
	}
	return refuse(Conflict, codeStopped, err.Error(), "start the daemon again")
}
