// Package carry takes a look of one location to another, and says what becomes of it
// there: groups that are missing, lamps that it does not light, levels that cannot be
// measured.
package carry
