// Package session is what runs now: one show at one location, the look that
// is on, the cue that stands by, and the verbs with which people change them.
// It compiles on the goroutine of whoever asks and leaves the playing to
// cues/play. It knows no sockets and no HTTP.
//
//	func Open(cfg Config) (*Session, cues.Problems, error)
//	func (s *Session) Run(ctx context.Context) error
//
//	func (s *Session) Cue(r CueRequest) error          every verb's error is a *Refusal
//	func (s *Session) Standby(t Target) error
//	func (s *Session) Hold() error
//	func (s *Session) Resume() error
//	func (s *Session) Snap() error
//	func (s *Session) Back() error
//	func (s *Session) Ride(at float64) error
//	func (s *Session) Overall(level string) error
//	func (s *Session) WorkLight(on *bool) error        nil toggles
//	func (s *Session) Kill(on bool) error
//	func (s *Session) Dry(on bool) error
//	func (s *Session) Location(name string) error
//
//	func (s *Session) State() State
//	func (s *Session) Plan() Plan
//	func (s *Session) Cells(dst []colour.XYZ) []colour.XYZ
//	func (s *Session) LookCells(name string) ([]colour.XYZ, error)
//	func (s *Session) Frames() (addresses []uint16, slots [][]byte)
//	func (s *Session) Subscribe() (<-chan struct{}, func())
package session
