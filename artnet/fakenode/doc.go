// Package fakenode is an Art-Net node in software, for the demo, for dry runs
// and for tests. It answers polls, keeps the last frame of each of its ports,
// drops frames that were overtaken, honours ArtSync, and notices when a port
// gets no data. It can be silenced, as if its cable were pulled.
//
// One source per port is heard, where the standard lets a node merge two or
// treat a second one as an error: here frames from a second source are counted
// and dropped until the first has been silent for HoldSource.
//
// A port may have a line of RDM devices: the node searches it at the start and
// every ten seconds, tells its table of devices when asked and when it changed,
// and passes messages on, one at a time a line.
//
// Without data a port holds its last frame; its reply says so (fail-safe: hold).
package fakenode
