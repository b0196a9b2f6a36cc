// Package peer is what every Art-Net device has, be it controller or node: a
// place on a network interface, sockets there on port 6454, batches of
// datagrams out of them, and an answer to ArtPoll after a random while.
// Listeners have sockets on every address and in multicast groups besides.
//
// On Linux datagrams are taken 32 a system call, into buffers made once, at 0.94
// to 0.98 of the rate of a bare recvmmsg loop (BenchmarkReceive); elsewhere one
// a call.
package peer
