// Package responder is RDM devices in software, for the demo and for tests: a
// lamp as it answers the messages of ANSI E1.20 on its DMX512 line, and the line
// itself, on which answers at the same time collide.
//
// A Responder keeps the rules of the standard: it answers only what is for it,
// refuses with the reason that fits, lets nobody set what its maker fixed, and
// hands out long lists in parts (ACK_OVERFLOW). A Fault makes it misbehave as
// devices in the field do. It has no clock of its own: every message comes with
// the time at which it is heard, and every answer with how long it takes.
package responder
