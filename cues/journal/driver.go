package journal

import (
	"errors"

	"modernc.org/sqlite"
)

// driverName is how database/sql calls the driver.
const driverName = "sqlite"

// Result codes of SQLite (sqlite.org/rescode.html): of a file that is damaged, and of a
// write that will never do.
const (
	resultCorrupt = 11
	resultNotADB  = 26

	resultTooBig     = 18
	resultConstraint = 19
	resultMismatch   = 20
	primaryCode      = 0xff // of an extended code
)

// damaged tells whether SQLite says that the file is no sound database.
func damaged(err error) bool {
	code := resultOf(err)
	return code == resultCorrupt || code == resultNotADB
}

// hopeless tells whether a write fails each time it is tried.
func hopeless(err error) bool {
	code := resultOf(err)
	return code == resultTooBig || code == resultConstraint || code == resultMismatch
}

// resultOf gives the primary result code of an error of SQLite, 0 for another.
func resultOf(err error) int {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0
	}
	return e.Code() & primaryCode
}
