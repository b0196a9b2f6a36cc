// Package peer is what every Art-Net device has, be it controller or node: a
// place on a network interface, sockets there on port 6454, batches of
// datagrams out of them, and an answer to ArtPoll after a random while.
package peer
