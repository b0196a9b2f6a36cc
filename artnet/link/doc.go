// Package link is a lighting controller's connection to its Art-Net devices.
// It finds them, sends them frames, and answers other controllers.
//
// SendFrame is the hot path: the engine's goroutine calls it 44 times a second
// with every universe. It sends what changed at once, repeats what did not
// every 800..1000 ms as the standard recommends, and sends a port-address only
// to the devices that put it out, or to the addresses that Config.To names. It
// does not allocate and takes no lock.
//
// A frame goes out device by device in one batch. A device gets 8 datagrams of
// it in a row (Config.InARow); what a big device takes beyond that follows in
// rounds, 2 ms apart or closer, within half a frame. A device that needs 100 us
// for a datagram and has room for 12 lost 18 % of 16 universes that came in a
// row and 0.3 % in rounds, of 32 universes 47 % and none; with room for 16, of
// 64 universes 68 % and 0.25 % (BenchmarkSmallDevice).
//
// A device that answers no poll still gets its universes, from a socket aside
// (peer.Sockets.SendAside): what waits for a device without power must not use
// up the room of the others.
//
// Receiving decides by op-code first: what does not concern a controller costs
// neither parsing nor memory, so that a flood of it does not wake the collector
// in the loop's process. Nodes tells what devices say of themselves, Sources who
// else sends to our port-addresses, and Shared whether another program on this
// machine takes the devices' answers. What the standard asks of a receiver stands
// in receive_rules_test.go, each rule with its test.
//
// Run does the rest: it polls every 2.75 s, keeps the table of devices, and
// opens the sockets anew when the network under them went away.
//
// What the standard asks of a sender stands in rules_test.go, each rule with
// its test.
package link
