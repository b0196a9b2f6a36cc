package calibrate

import "fmt"

// Kind says what sort of fault a reading has.
type Kind string

// The kinds of fault.
const (
	UnknownEmitter Kind = "unknown emitter"
	Impossible     Kind = "impossible"    // no lamp and no meter could give it
	WrongUnit      Kind = "wrong unit"    // very likely right, in another unit
	FarFromType    Kind = "far from type" // could be, but not of such a lamp
	Contradiction  Kind = "contradiction" // readings that cannot all be true
	FallingCurve   Kind = "falling curve" // less light from more control
	NoPhotometry   Kind = "no photometry" // the lamp's type does not say where its light goes
)

// Fault is what is wrong, or looks wrong, with a reading.
type Fault struct {
	Reading int   // its index
	Against []int // the readings it does not agree with
	Emitter string
	Kind    Kind
	// Refused is set when what the fault is about was left out of the fit.
	Refused         bool
	What, Why, Mend string
}

// Error gives the fault in one line; readings count from 1.
func (f *Fault) Error() string {
	where := fmt.Sprintf("reading %d", f.Reading+1)
	if f.Emitter != "" {
		where += fmt.Sprintf(" (%s)", f.Emitter)
	}
	return where + ": " + f.What + ": " + f.Why + "; " + f.Mend
}
