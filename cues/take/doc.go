// Package take is what is written down of a take: which one it is, how it was
// shot and what every lamp really had. It is plain data, the lists that leave the
// house (CSV, edit list, tab-separated log, JSON) and the comparison of a take
// with the set as it is. It reads no clock and touches no file.
//
// What a lamp had is kept twice: as the bytes that went out, which bring the very
// light back to the same rig, and as the light that those bytes made, from which
// another type of lamp can be solved when the old one is not even known any more.
package take
