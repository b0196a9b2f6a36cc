// Package against tells how one look of a location differs from another, in words and in
// numbers: by groups, which are named by their job, and by lamps, the worst first. Light
// and parameters are read from the bytes that the looks send; movement, which no still
// has, from what is written.
package against
