package session

// Plan is a location as the page draws it: it changes only when the location
// does. Lengths are in metres.
type Plan struct {
	Revision  uint32      `json:"revision"`
	Show      string      `json:"show"`
	Location  string      `json:"location"`
	Locations []string    `json:"locations"`
	Bounds    Bounds      `json:"bounds"`
	Set       []PlanPiece `json:"set"`
	Marks     []PlanMark  `json:"marks"`
	Setups    []PlanSetup `json:"setups"`
	Groups    []PlanGroup `json:"groups"`
	Lamps     []PlanLamp  `json:"lamps"`
	Looks     []PlanLook  `json:"looks"`
	Cues      []PlanCue   `json:"cues"`
	// Balance is the CIE 1931 xy of the white that the camera is set to.
	Balance [2]float64 `json:"balance"`
}

// Bounds is the rectangle on the ground that everything stands in.
type Bounds struct {
	Min [2]float64 `json:"min"`
	Max [2]float64 `json:"max"`
}

// PlanPiece is a thing that stands at the location.
type PlanPiece struct {
	Kind   string     `json:"kind"`
	Name   string     `json:"name"`
	Centre [3]float64 `json:"centre"`
	Size   [3]float64 `json:"size"`
}

// PlanMark is a mark, or a walk when it has more than one point.
type PlanMark struct {
	Name   string       `json:"name"`
	Points [][3]float64 `json:"points"`
}

// PlanSetup is a camera position and what it changes of every look.
type PlanSetup struct {
	Name   string     `json:"name"`
	Camera [3]float64 `json:"camera"`
	LookAt [3]float64 `json:"look_at"`
	FPS    float64    `json:"fps"` // its camera's, or the show's
	Trims  []PlanTrim `json:"trims"`
	// Swaps are pairs of groups that do each other's job, Mirrors the groups whose
	// order turns round.
	Swaps   [][2]string `json:"swaps"`
	Mirrors []string    `json:"mirrors"`
}

// PlanTrim moves the lamps of a group by so many stops.
type PlanTrim struct {
	Group string  `json:"group"`
	Stops float64 `json:"stops"`
}

// PlanGroup is a group: indices into the cells of the plan, in group order.
type PlanGroup struct {
	Name  string `json:"name"`
	Cells []int  `json:"cells"`
}

// PlanLamp is a lamp where it stands. Its cells are those from FirstCell on.
type PlanLamp struct {
	ID        string      `json:"id"`
	Kit       string      `json:"kit"`
	Type      string      `json:"type"`
	Class     string      `json:"class"`
	Place     [3]float64  `json:"place"`
	Along     [3]float64  `json:"along"`
	Aim       *[3]float64 `json:"aim"`
	Address   string      `json:"address"`
	Circuit   string      `json:"circuit"`
	LengthM   float64     `json:"length_m"`
	WidthM    float64     `json:"width_m"`
	Cells     []PlanCell  `json:"cells"`
	FirstCell int         `json:"first_cell"`
}

// PlanCell is one cell: its middle, and the lumens it gives with every
// emitter at full.
type PlanCell struct {
	Place      [3]float64 `json:"place"`
	MostLumens float64    `json:"most_lumens"`
}

// PlanLook is a look that can be run here. Lead and Second are the colours of
// the character it wears, as X, Y, Z with Y = 1; nil when it wears nobody or
// the character owns no such colour.
type PlanLook struct {
	Name   string      `json:"name"`
	Wears  string      `json:"wears"`
	Lead   *[3]float64 `json:"lead"`
	Second *[3]float64 `json:"second"`
	Note   string      `json:"note"`
}

// PlanCue is one line of the cue sheet.
type PlanCue struct {
	Cue      int    `json:"cue"`
	Look     string `json:"look"`
	FadeMS   int64  `json:"fade_ms"`
	DelayMS  int64  `json:"delay_ms"`
	AfterMS  *int64 `json:"after_ms"` // nil waits for a person
	Timecode string `json:"timecode"` // "" for none
	Dark     bool   `json:"dark"`
	Path     string `json:"path"`
	Note     string `json:"note"`
	FadeText string `json:"fade_text"`
}
