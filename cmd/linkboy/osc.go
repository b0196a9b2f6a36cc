package main

import (
	"fmt"
	"io"

	"linkboy/server"
)

// openOSC opens the door for OSC at an address; nil for "".
func openOSC(page *server.Server, address string) (*server.OSCDoor, error) {
	if address == "" {
		return nil, nil
	}
	door, err := page.OpenOSC(address)
	if err != nil {
		return nil, mendedError{err, "give --osc an address of this machine with a free port, like 127.0.0.1:9000"}
	}
	return door, nil
}

// greetOSC says who can run cues by OSC.
func greetOSC(w io.Writer, door *server.OSCDoor) {
	switch {
	case door == nil:
	case door.Open():
		fmt.Fprintf(w, "OSC: %s/udp. It asks nobody for a code: everyone on that network can run cues and put lamps out.\n", door.Addr())
	default:
		fmt.Fprintf(w, "OSC: %s/udp, for programs on this machine\n", door.Addr())
	}
}
