package artnet_test

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// script starts testdata/NAME, which uses an npm package, and stops it with the
// test. What it prints comes line by line.
func script(t *testing.T, name, pkg string, env ...string) *bufio.Scanner {
	t.Helper()
	node, modules := outside.NodeModules(t, pkg)
	cmd := exec.Command(node, "--no-deprecation", filepath.Join("testdata", name))
	cmd.Env = append(append(os.Environ(), "NODE_PATH="+modules), env...)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	overdue := time.AfterFunc(outside.Patience, func() { _ = cmd.Process.Kill() }) // ends a wait for a line
	t.Cleanup(func() {
		overdue.Stop()
		stdin.Close()
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	return bufio.NewScanner(stdout)
}

func listen(t *testing.T) (*net.UDPConn, int) {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(outside.Patience)))
	return conn, conn.LocalAddr().(*net.UDPAddr).Port
}

// next is the next datagram, in memory of its own.
func next(t *testing.T, conn *net.UDPConn) []byte {
	t.Helper()
	b := make([]byte, 2048)
	n, err := conn.Read(b)
	require.NoError(t, err, "nothing came from the foreign sender")
	return b[:n]
}

// heard is a line of testdata/sacn-receiver.js.
type heard struct {
	Listening, Corrupt bool
	Disorder, Error    string
	Universe           int
	Sequence           int
	Priority           int
	Name               string
	Sync               int
	Options            int
	CID                string
	Properties         int
	Slots              string
}

func hear(t *testing.T, lines *bufio.Scanner) heard {
	t.Helper()
	var h heard
	require.True(t, lines.Scan(), "the foreign receiver said nothing for %v", outside.Patience)
	require.NoError(t, json.Unmarshal(lines.Bytes(), &h), "%s", lines.Bytes())
	return h
}

// A foreign receiver, the npm package sacn 4.6.2, takes our E1.31 for what it
// is. What it does not know, synchronization and discovery, is corrupt to it.
func TestForeignReceiverTakesOurE131(t *testing.T) {
	outside.NodeModules(t, "sacn")
	held, port := listen(t) // a free port
	held.Close()
	lines := script(t, "sacn-receiver.js", "sacn", fmt.Sprintf("PORT=%d", port), "UNIVERSES=1,291,63999")
	require.True(t, hear(t, lines).Listening)
	conn, err := net.Dial("udp4", fmt.Sprintf("127.0.0.1:%d", port))
	require.NoError(t, err)
	defer conn.Close()
	send := func(p sacn.Packet) {
		t.Helper()
		b, err := p.AppendBinary(nil)
		require.NoError(t, err)
		_, err = conn.Write(b)
		require.NoError(t, err)
	}

	name, err := sacn.NewName("key and fill")
	require.NoError(t, err)
	cid := sacn.RandomCID()
	for i, d := range []*sacn.Data{
		{Universe: 1, Priority: 100, Slots: ramp(512)},
		{Universe: 291, Priority: 0, SyncAddress: 7962, Options: sacn.Preview | sacn.ForceSync, Slots: ramp(6)},
		{Universe: 63999, Priority: 200, Options: sacn.Terminated, Slots: ramp(1)},
		{Universe: 1, Priority: 100, Sequence: 1},
	} {
		d.CID, d.SourceName = cid, name
		send(d)
		require.Equal(t, heard{
			Universe: int(d.Universe), Sequence: int(d.Sequence), Priority: int(d.Priority), Name: "key and fill", Sync: int(d.SyncAddress), Options: int(d.Options),
			CID: hex.EncodeToString(cid[:]), Properties: len(d.Slots) + 1, Slots: hex.EncodeToString(d.Slots),
		}, hear(t, lines), "packet %d", i)
	}
	send(&sacn.Sync{CID: cid, Address: 1})
	require.True(t, hear(t, lines).Corrupt)
	send(&sacn.Discovery{CID: cid, SourceName: name, Universes: []sacn.Universe{1}})
	require.True(t, hear(t, lines).Corrupt)
	send(&sacn.Data{CID: cid, SourceName: name, Universe: 2, Slots: ramp(2)}) // not one of its universes
	send(&sacn.Data{CID: cid, SourceName: name, Universe: 1, Sequence: 2, Slots: ramp(2)})
	require.Equal(t, 2, hear(t, lines).Sequence)
}

// A foreign sender, the npm package sacn 4.6.2: always 512 slots, counting from
// 0.
func TestForeignSenderOfE131(t *testing.T) {
	outside.NodeModules(t, "sacn")
	conn, port := listen(t)
	script(t, "sacn-sender.js", "sacn", fmt.Sprintf("PORT=%d", port))
	cid, err := sacn.ParseCID("0f1e2d3c-4b5a-4978-a6b5-c4d3e2f10203")
	require.NoError(t, err)
	name, err := sacn.NewName("foreign sender")
	require.NoError(t, err)
	for i, want := range []struct {
		priority uint8
		slots    map[int]byte // from 1
	}{
		{120, map[int]byte{1: 255, 2: 1, 512: 3}}, {120, map[int]byte{100: 200}}, {200, nil},
	} {
		slots := make([]byte, 512)
		for at, v := range want.slots {
			slots[at-1] = v
		}
		b := next(t, conn)
		got, err := sacn.Parse(b)
		require.NoError(t, err)
		require.Equal(t, &sacn.Data{CID: cid, SourceName: name, Priority: want.priority, Sequence: uint8(i), Universe: 7, Slots: slots}, got)
		again, err := got.AppendBinary(nil)
		require.NoError(t, err)
		require.Equal(t, b, again, "the same packet of ours, byte for byte")
	}
}

// A foreign Art-Net sender, the npm package artnet 1.4.0: slots up to the last
// changed, an even number, without counting; and a trigger.
func TestForeignSenderOfArtNet(t *testing.T) {
	outside.NodeModules(t, "artnet")
	conn, port := listen(t)
	script(t, "artnet-sender.js", "artnet", fmt.Sprintf("PORT=%d", port))
	for _, want := range []artnet.Packet{
		&artnet.Dmx{PortAddress: 1, Data: []byte{255, 128, 64, 0}},
		&artnet.Dmx{PortAddress: 291, Data: []byte{0, 0, 0, 0, 77, 0}},
		&artnet.Trigger{Oem: artnet.AnyOem, Key: artnet.TriggerMacro, SubKey: 5},
	} {
		b := next(t, conn)
		got, err := artnet.Parse(b)
		require.NoError(t, err)
		require.Equal(t, want, got)
		again, err := got.AppendBinary(nil)
		require.NoError(t, err)
		require.Equal(t, b, again, "the same packet of ours, byte for byte")
	}
}
