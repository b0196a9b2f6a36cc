package session

import (
	"time"

	"linkboy/cues/play"
)

// State is what runs now, as the page and the API see it. Times are in
// milliseconds, shares are 0..1.
type State struct {
	Show     string   `json:"show"`
	Title    string   `json:"title"`
	Location string   `json:"location"`
	Setup    string   `json:"setup"` // that was chosen, else the first; "" where there is none
	Look     string   `json:"look"`  // "" when none is on
	Standby  *Standby `json:"standby"`
	Fade     *Fade    `json:"fade"`
	Held     bool     `json:"held"`
	Moving   bool     `json:"moving"` // light of the look moves, held or not
	Killed   bool     `json:"killed"`
	Work     bool     `json:"worklight"`
	// Pointing is the lamp that stands out so that a person finds it; nil for none.
	Pointing *Pointing `json:"pointing"`
	Dry      bool      `json:"dry"`
	Hot      bool      `json:"hot"`
	Overall  float64   `json:"overall"`
	// Take is the take that rolls, LastTake the newest that was cut since the start,
	// NextTake the slate that stands ready, AsShot the take that is on again.
	Take     *TakeMark `json:"take"`
	LastTake *TakeMark `json:"last_take"`
	NextTake *NextTake `json:"next_take"`
	AsShot   *AsShot   `json:"as_shot"`
	CanBack  *string   `json:"can_back"` // the look that back would go to
	Follow   *Follow   `json:"follow"`
	// Counting is the cue that is counted in; nil for none.
	Counting *Counting `json:"counting"`
	// Tempo is that of the cue sheet; nil where the show has none.
	Tempo *Tempo `json:"tempo"`
	// Last is the newest thing that anybody or anything asked; nil before any.
	Last     *Command `json:"last"`
	Timecode Timecode `json:"timecode"`
	// Nodes is left empty for whoever knows the network.
	Nodes    []Node    `json:"nodes"`
	Output   Output    `json:"output"`
	Warnings []Warning `json:"warnings"`
	// Light is how far the light of the place is computed; nil when nobody does.
	Light *Light `json:"light"`
	// Edits is what can be edited, Files how the show on disk stands to what runs. Both are
	// left nil for whoever has the files.
	Edits *Edits `json:"edits"`
	Files *Files `json:"files"`
	// Waiting is how many changes of the show wait for the cut of a hot set.
	Waiting int `json:"waiting"`
	// Trying is the look that the set shows as it is tried, in no file yet; "" for none.
	Trying string `json:"trying"`
	// Revision is that of the plan this state belongs to.
	Revision uint32 `json:"revision"`
}

// Edits is how far the show is edited. An edit is made for a revision.
type Edits struct {
	Revision uint64 `json:"revision"`
	Undo     int    `json:"undo"` // how many edits can be taken back
	Redo     int    `json:"redo"`
}

// Files is how the show on disk stands to what runs.
type Files struct {
	// Taken counts the changes of the files that were taken in, or wait for the cut; Last
	// names those of the newest, TakenMS is how long ago it was.
	Taken   int      `json:"taken"`
	Last    []string `json:"last"`
	TakenMS int64    `json:"taken_ms"`
	// Problems are why what is on disk now is not taken in; empty when it is.
	Problems []FileProblem `json:"problems"`
}

// FileProblem is one thing wrong with the show on disk.
type FileProblem struct {
	File     string `json:"file"`
	Line     int    `json:"line"`
	Column   int    `json:"column"`
	Code     string `json:"code"`
	Severity string `json:"severity"`
	What     string `json:"what"`
	Why      string `json:"why"`
	Mend     string `json:"mend"`
}

// Light is how far the light of the location is computed.
type Light struct {
	Stage string `json:"stage"` // "computing", "failed" or "none", else as colour/transport's: coarse, direct, bounced
	Hash  string `json:"hash"`  // of what there is; "" for none yet
}

// Standby is what runs next. Cue is 0 for a look that is in no cue sheet.
type Standby struct {
	Cue    int    `json:"cue"`
	Look   string `json:"look"`
	FadeMS int64  `json:"fade_ms"`
	Note   string `json:"note"`
}

// Pointing is a lamp that is pointed at.
type Pointing struct {
	Lamp   string `json:"lamp"` // in the rig
	Dim    bool   `json:"dim"`  // the others are down
	LeftMS int64  `json:"left_ms"`
}

// Fade is a change under way.
type Fade struct {
	From        string  `json:"from"`
	To          string  `json:"to"`
	Progress    float64 `json:"progress"`
	RemainingMS int64   `json:"remaining_ms"`
	TotalMS     int64   `json:"total_ms"`
}

// Follow is the cue that will run by itself.
type Follow struct {
	Cue  int   `json:"cue"`
	InMS int64 `json:"in_ms"`
}

// Counting is a cue on its way in: it runs when nothing remains. The next count falls
// when what remains is a whole number of Beat.
type Counting struct {
	Cue       int     `json:"cue"` // 0 for a look by name
	Look      string  `json:"look"`
	Remaining float64 `json:"remaining_ms"`
	Total     float64 `json:"total_ms"`
	Beat      float64 `json:"beat_ms"`
	Beats     bool    `json:"beats"` // counts are beats of music, else seconds
}

// Tempo is musical time. Source is "show" or "location" for what is written there, "set"
// or "taps" for what was given since.
type Tempo struct {
	BPM         float64 `json:"bpm"`
	BeatsPerBar int     `json:"beats_per_bar"`
	Source      string  `json:"source"`
}

// Command is something that was asked, and whether it was done.
type Command struct {
	Source  string `json:"source"` // page, key, music, http, osc; timecode, follow, count-in
	From    string `json:"from"`   // address; "" for the daemon itself
	Command string `json:"command"`
	OK      bool   `json:"ok"`
	Message string `json:"message,omitempty"` // why it was refused
	AgoMS   int64  `json:"ago_ms"`
}

// Timecode is the time code that runs cues. Source is "clock" for the daemon's
// own, else the address that it comes from; "" before any has come.
type Timecode struct {
	Running bool         `json:"running"`
	Source  string       `json:"source"`
	At      string       `json:"at"`     // "01:00:12:08", offset and all; "" for none
	Offset  string       `json:"offset"` // "-01:00:00:00": what is added to the source; "" for none
	Next    *TimecodeCue `json:"next"`   // nil when no cue has a time that is still to come
}

// TimecodeCue is the cue whose time comes next.
type TimecodeCue struct {
	Cue  int    `json:"cue"`
	At   string `json:"at"`
	InMS *int64 `json:"in_ms"` // nil while code does not run
}

// Node is a node on the network.
type Node struct {
	Name       string   `json:"name"`
	LongName   string   `json:"long_name,omitempty"`
	IP         string   `json:"ip"`
	Ports      []string `json:"ports"` // port-addresses put out, "net:sub-net:universe"
	LastSeenMS int64    `json:"last_seen_ms"`
	Lost       bool     `json:"lost"`
	Software   bool     `json:"software"`
	Firmware   string   `json:"firmware,omitempty"`
	MAC        string   `json:"mac,omitempty"`
	Esta       uint16   `json:"esta,omitempty"` // manufacturer code
	Oem        uint16   `json:"oem,omitempty"`
	Indicators string   `json:"indicators,omitempty"` // locate, mute, normal
	Status     []string `json:"status,omitempty"`     // what its status bits say, in words
	Report     string   `json:"report,omitempty"`     // its last status text
	Lines      []Line   `json:"lines,omitempty"`
}

// Line is one direction of one port of a node.
type Line struct {
	Address   string   `json:"address"`
	Direction string   `json:"direction"` // out: to the lamps, in: from a DMX512 line
	Protocol  string   `json:"protocol"`
	Page      int      `json:"page"` // the node's BindIndex
	Status    []string `json:"status,omitempty"`
}

// Output is how the frames go out. Lateness is that of the last minute and a half.
type Output struct {
	Frames        uint64 `json:"frames"`
	Rate          int    `json:"rate"`
	LateUSP50     int64  `json:"late_us_p50"`
	LateUSP99     int64  `json:"late_us_p99"`
	LateUSMax     int64  `json:"late_us_max"`
	FirstUSP99    int64  `json:"first_us_p99"` // from a command to its first frame sent
	Skipped       uint64 `json:"skipped"`
	SkippedMinute uint64 `json:"skipped_minute"` // in the last minute
	Universes     int    `json:"universes"`
	SendErrors    uint64 `json:"send_errors"`
	// All since the start, by LateBuckets.
	Late, First Histogram `json:"-"`
}

// Histogram counts delays by LateBuckets, and those over the last of them.
type Histogram = play.Histogram

// LateBuckets are the bounds of a Histogram.
func LateBuckets() []time.Duration { return play.Buckets[:] }

// Warning is something a person should know, with its mend.
type Warning struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	Why     string `json:"why,omitempty"`
	Where   string `json:"where"`
	Mend    string `json:"mend"`
}
