package colour

// Error says why a colour or a temperature cannot be had, and what to write
// instead. Every error of this package is one.
type Error struct {
	What string // the thing asked for, as the user would write it
	Why  string
	Mend string
}

// Error gives the three parts in one line.
func (e *Error) Error() string { return e.What + ": " + e.Why + "; " + e.Mend }
