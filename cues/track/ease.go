package track

import "fmt"

var easeNames = [...]string{Linear: "linear", Soft: "soft", In: "in", Out: "out"}

// At is the share of the way that is done when the share t of the time is
// gone. Every ease goes from exactly 0 to exactly 1 without ever turning back;
// t is taken as 0 below 0 and as 1 above 1.
//
//	Linear  t
//	Soft    3t² - 2t³     slow at both ends (the smoothstep polynomial)
//	In      t²            slow at the start
//	Out     1 - (1-t)²    slow at the end
func (e Ease) At(t float64) float64 {
	if !(t > 0) { // NaN too
		return 0
	}
	if t >= 1 {
		return 1
	}
	switch e {
	case Soft:
		return t * t * (3 - 2*t)
	case In:
		return t * t
	case Out:
		return t * (2 - t)
	}
	return t
}

// Slope is the steepest slope of the ease, which bounds how far a value can go
// in one frame.
func (e Ease) Slope() float64 {
	switch e {
	case Soft:
		return 1.5
	case In, Out:
		return 2
	}
	return 1
}

// String is the name of the ease as it is written in a show.
func (e Ease) String() string {
	if int(e) < len(easeNames) {
		return easeNames[e]
	}
	return fmt.Sprintf("Ease(%d)", uint8(e))
}

// EaseNames are the names that EaseByName knows.
func EaseNames() []string { return append([]string(nil), easeNames[:]...) }

// EaseByName finds an ease by its name.
func EaseByName(name string) (Ease, bool) {
	for e, n := range easeNames {
		if n == name {
			return Ease(e), true
		}
	}
	return Linear, false
}
