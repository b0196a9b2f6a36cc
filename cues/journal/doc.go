// Package journal keeps the takes of a show in one SQLite file, journal.db. It is
// the only place that knows SQL.
//
// One goroutine writes, in the order it was asked, from a queue with a bound:
// nobody who moves light waits for a disk. A take that was acknowledged is on the
// disk (write-ahead log, synchronous=FULL) and is there again after a kill -9 or a
// loss of power, as far as the disk keeps what it says that it has kept. What
// cannot be written, on a full disk say, waits and is tried again; what there is
// no more room for is lost, counted, and told in Status.
//
// The schema is a list of files in schema, applied in order; user_version says how
// many. An older journal is brought up to date in one transaction, a newer one is
// refused, and one that is broken is moved aside, never deleted.
package journal
