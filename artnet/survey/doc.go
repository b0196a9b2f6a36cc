// Package survey compares what a network shows with what a show asks of it, and
// says what is odd: what, why and the mend. It looks at plain lists, opens no
// sockets, keeps no time and knows no colours.
package survey
