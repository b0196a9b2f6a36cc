package recipe

// Policy says which of the mixes of a colour to take.
type Policy string

// The policies; the zero Policy counts as Brightest.
const (
	Brightest Policy = "brightest"
	Truest    Policy = "truest"
	ForCamera Policy = "camera"
)

// Policies lists the policies by name, the default first.
func Policies() []string { return []string{string(Brightest), string(Truest), string(ForCamera)} }
