// Package script is the colour script of a show: one table of all its looks, place by
// place, as a director reads it. Whose colours each wears and where, how bright and how
// white the key is, and in which cues it is on.
package script
