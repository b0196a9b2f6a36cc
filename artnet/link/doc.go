// Package link is a lighting controller's connection to its Art-Net devices.
// It finds them, sends them frames, and answers other controllers.
//
// SendFrame is the hot path: the engine's goroutine calls it 44 times a second
// with every universe. It sends what changed at once, repeats what did not
// every 800..1000 ms as the standard recommends, and sends a port-address only
// to the devices that put it out, or to the addresses that Config.To names. It
// does not allocate and takes no lock.
//
// Run does the rest: it polls every 2.75 s, keeps the table of devices, and
// opens the sockets anew when the network under them went away.
package link
