// Package session is what runs now: one show at one location, the look that
// is on, the cue that stands by, and the verbs with which people change them.
// It compiles on the goroutine of whoever asks and leaves the playing to
// cues/play. It knows no sockets and no HTTP.
package session
