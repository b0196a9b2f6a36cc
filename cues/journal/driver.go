package journal

import (
	"errors"

	"modernc.org/sqlite"
)

// driverName is how database/sql calls the driver.
const driverName = "sqlite"

// Result codes of SQLite that say that a file is damaged (sqlite.org/rescode.html).
const (
	resultCorrupt = 11
	resultNotADB  = 26
	primaryCode   = 0xff // of an extended code
)

// damaged tells whether SQLite says that the file is no sound database.
func damaged(err error) bool {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return false
	}
	code := e.Code() & primaryCode
	return code == resultCorrupt || code == resultNotADB
}
