package controller_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/artnet/rdm/responder"
)

func TestDiscoverTellsAllOfADevice(t *testing.T) {
	lines := map[controller.Gateway]*responder.Line{
		lineA: responder.NewLine(device(t, 1, func(m *responder.Model) { m.Label = "T1" }), device(t, 2, nil)),
		lineC: responder.NewLine(device(t, 3, func(m *responder.Model) { m.Number, m.Description, m.HasLampHours, m.LampHours = 8, "Spot", true, 70 })),
	}
	bubble(t, lines, nil, func(t *testing.T, n *fakeNet) {
		dead := controller.Gateway{Node: nodeB, PortAddress: 5}
		all := []controller.Gateway{lineA, lineC, dead}
		began := time.Now()
		silent, err := n.c.Discover(t.Context(), all)
		require.NoError(t, err)
		require.Equal(t, []controller.Gateway{dead}, silent, "a gateway without RDM")
		require.Equal(t, 2500*time.Millisecond, time.Since(began))
		require.Equal(t, 3, count[*artnet.TodRequest](n), "asked once a second")

		got := n.c.Devices()
		require.Len(t, got, 3)
		first := got[0]
		require.Equal(t, controller.Device{
			UID: uid(1), Node: nodeA, PortAddress: 1, Asked: true,
			Info: rdm.DeviceInfo{
				Protocol: 0x0100, Model: 7, Category: rdm.CategoryFixtureFixed, Software: 3, Footprint: 4, Personality: 1, Personalities: 2, StartAddress: 21, Sensors: 1,
			},
			Maker: "Prototype", Model: "Tube", Software: "0.3", Label: "T1",
			Personalities: []rdm.PersonalityDescription{{Number: 1, Slots: 4, Text: "1-cell"}, {Number: 2, Slots: 16, Text: "4-cell"}},
			Supported:     first.Supported, LastSeen: time.Now(),
		}, first)
		require.True(t, first.Supports(rdm.PIDDeviceLabel))
		require.False(t, first.Supports(rdm.PIDLampHours))
		require.Equal(t, "Spot", got[2].Model)

		require.NoError(t, n.c.MeasureAll(t.Context(), all))
		got = n.c.Devices()
		require.Equal(t, "41.2 °C", got[0].Sensors[0].String())
		require.Equal(t, rdm.Hours(100), *got[0].Hours)
		require.Nil(t, got[0].LampHours, "it counts none")
		require.Equal(t, rdm.Hours(70), *got[2].LampHours)
		lines[lineC].Devices()[0].Sense(0, -5)
		require.NoError(t, n.c.Measure(t.Context(), uid(3)))
		d, _ := n.c.Device(uid(3))
		require.Equal(t, "-0.5 °C", d.Sensors[0].String())
	})
}

// What devices of one type say alike is asked once.
func TestAsksATypeOnce(t *testing.T) {
	line := responder.NewLine()
	for k := range uint32(24) {
		line.Plug(device(t, k+1, nil))
	}
	bubble(t, map[controller.Gateway]*responder.Line{lineA: line}, nil, func(t *testing.T, n *fakeNet) {
		_, err := n.c.Discover(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		require.Equal(t, uint64(24*3+6), n.c.Stats().Requests, "info, label and identify of each; list, three texts and two personalities of the type")
	})
}

// A device that refuses all but what it must have is still a device, and one
// that answers nothing is listed with its trouble.
func TestPoorDevices(t *testing.T) {
	bare := device(t, 1, nil)
	dead := device(t, 2, nil)
	bubble(t, map[controller.Gateway]*responder.Line{lineA: responder.NewLine(bare, dead)}, nil, func(t *testing.T, n *fakeNet) {
		dead.SetFault(responder.Fault{Silent: true})
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			r, ok := p.(*artnet.Rdm)
			if !ok {
				return []artnet.Packet{p}
			}
			var m rdm.Message
			require.NoError(t, m.ParseWithoutStart(r.Message))
			if m.PID != rdm.PIDDeviceInfo && m.PID != rdm.PIDIdentifyDevice {
				m.Response, m.Data = rdm.ResponseNack, []byte{0, 0}
			}
			b, err := m.AppendWithoutStart(nil)
			require.NoError(t, err)
			return []artnet.Packet{&artnet.Rdm{PortAddress: r.PortAddress, Message: b}}
		}
		_, err := n.c.Discover(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		got := n.c.Devices()
		require.True(t, got[0].Asked)
		require.Empty(t, got[0].Label+got[0].Model+got[0].Maker)
		require.Empty(t, got[0].Personalities)
		require.False(t, got[1].Asked)
		require.Contains(t, got[1].Trouble, "no answer")
		require.NoError(t, n.c.Measure(t.Context(), uid(1)))
		got = n.c.Devices()
		require.Nil(t, got[0].Hours)
	})
}

// Tables of more than 200 devices come in blocks; a block that is lost is asked
// for again.
func TestTableInBlocks(t *testing.T) {
	bubble(t, map[controller.Gateway]*responder.Line{lineA: responder.NewLine()}, nil, func(t *testing.T, n *fakeNet) {
		for k := range uint32(450) {
			n.tods[lineA] = append(n.tods[lineA], uid(k+1))
		}
		lost := false
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			if d, ok := p.(*artnet.TodData); ok && d.Block == 1 && !lost {
				lost = true
				return nil
			}
			return []artnet.Packet{p}
		}
		began := time.Now()
		silent, err := n.c.Tables(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		require.Empty(t, silent)
		require.Equal(t, time.Second, time.Since(began), "asked again after a second")
		require.Len(t, n.c.Devices(), 450)
	})
}

// A gateway that has no table yet says so, and is asked again.
func TestTableThatIsNotThereYet(t *testing.T) {
	bubble(t, map[controller.Gateway]*responder.Line{lineA: responder.NewLine(device(t, 1, nil))}, nil, func(t *testing.T, n *fakeNet) {
		began := time.Now()
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			if d, ok := p.(*artnet.TodData); ok && time.Since(began) < 1500*time.Millisecond {
				return []artnet.Packet{&artnet.TodData{Port: 1, BindIndex: d.BindIndex, PortAddress: d.PortAddress, Response: artnet.TodResponseNak}}
			}
			return []artnet.Packet{p}
		}
		silent, err := n.c.Tables(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		require.Empty(t, silent)
		require.Equal(t, 2*time.Second, time.Since(began))
	})
}

func TestDevicesComeAndGo(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		line := n.lines[lineA]
		line.Unplug(first)
		line.Plug(device(t, 5, nil))
		n.tell(lineA) // unasked, as the standard has it
		synctest.Wait()
		got := n.c.Devices()
		require.Len(t, got, 3)
		require.True(t, got[0].Lost)
		require.True(t, got[0].Asked, "what was known of it stays")
		require.False(t, got[1].Lost)
		require.Equal(t, uid(5), got[2].UID)
		line.Plug(first)
		n.tell(lineA)
		synctest.Wait()
		require.False(t, n.c.Devices()[0].Lost)

		// A device that turns up on another line has moved; its old line does
		// not lose it.
		line.Unplug(first)
		n.c.Receive(nodeB, &artnet.TodData{Port: 1, BindIndex: 1, PortAddress: 1, Total: 1, UIDs: [][6]byte{uid(1)}})
		n.tell(lineA)
		synctest.Wait()
		d, _ := n.c.Device(uid(1))
		require.False(t, d.Lost)
		require.Equal(t, nodeB, d.Node)

		// A node that no longer tells a table has lost its devices.
		n.spoil = func(controller.Gateway, artnet.Packet) []artnet.Packet { return nil }
		silent, err := n.c.Tables(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		require.Equal(t, []controller.Gateway{lineA}, silent)
		d, _ = n.c.Device(uid(5))
		require.True(t, d.Lost)
	})
}

func TestApplySetsAndReadsBack(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		require.NoError(t, n.c.Apply(t.Context(), uid(1), controller.Settings{Personality: 2, Address: 497, Label: "lane-1"}))
		require.Equal(t, responder.State{Label: "lane-1", Personality: 2, Start: 497}, first.State())
		d, _ := n.c.Device(uid(1))
		require.Equal(t, []any{uint8(2), uint16(16), rdm.StartAddress(497), "lane-1"}, []any{d.Info.Personality, d.Info.Footprint, d.Info.StartAddress, d.Label})
		require.NoError(t, n.c.Identify(t.Context(), uid(1), true))
		require.True(t, first.State().Identify)
		d, _ = n.c.Device(uid(1))
		require.True(t, d.Identify)
		require.NoError(t, n.c.Identify(t.Context(), uid(1), false))
		require.False(t, first.State().Identify)
		requests := n.c.Stats().Requests
		require.NoError(t, n.c.Apply(t.Context(), uid(1), controller.Settings{}))
		require.Equal(t, requests, n.c.Stats().Requests, "nothing to set")

		for what, err := range map[string]error{
			"start address 0":   n.c.SetAddress(t.Context(), uid(1), 0),
			"personality 0":     n.c.SetPersonality(t.Context(), uid(1), 0),
			"bad label":         n.c.SetLabel(t.Context(), uid(1), "na\x00me"),
			"data out of range": n.c.Apply(t.Context(), uid(1), controller.Settings{Personality: 3, Address: 9, Label: "x"}),
		} {
			require.ErrorContains(t, err, what)
		}
		require.Equal(t, "lane-1", first.State().Label, "it stops at what does not go")
	})
}

// A device that says yes and does nothing is told.
func TestNotTaken(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			var m rdm.Message
			require.NoError(t, m.ParseWithoutStart(p.(*artnet.Rdm).Message))
			if m.Class == rdm.GetResponse && m.PID == rdm.PIDDMXStartAddress {
				m.Data = []byte{0, 77}
			}
			if m.Class == rdm.GetResponse && m.PID == rdm.PIDDeviceInfo {
				m.Data[12] = 1
			}
			b, err := m.AppendWithoutStart(nil)
			require.NoError(t, err)
			return []artnet.Packet{&artnet.Rdm{PortAddress: 1, Message: b}}
		}
		err := n.c.SetAddress(t.Context(), uid(1), 9)
		require.ErrorIs(t, err, controller.ErrNotTaken)
		require.ErrorContains(t, err, "9, has 77")
		d, _ := n.c.Device(uid(1))
		require.Equal(t, rdm.StartAddress(77), d.Info.StartAddress, "the table has what is true")
		require.ErrorIs(t, n.c.SetPersonality(t.Context(), uid(1), 2), controller.ErrNotTaken)
	})
}

// Packets that Run does not take in time are dropped and counted, and nobody
// waits.
func TestFullOfPackets(t *testing.T) {
	c, err := controller.New(controller.Config{Send: (&fakeNet{}).send})
	require.NoError(t, err)
	taken := 0
	for range 1000 {
		if c.Receive(nodeA, &artnet.TodData{}) {
			taken++
		}
	}
	require.Equal(t, 256, taken)
	require.Equal(t, uint64(744), c.Stats().Full)
}

func FuzzReceive(f *testing.F) {
	f.Add([]byte{1, 24}, uint16(300), uint8(1), []byte("123456abcdef"))
	f.Fuzz(func(t *testing.T, message []byte, total uint16, block uint8, uids []byte) {
		synctest.Test(t, func(t *testing.T) {
			c, err := controller.New(controller.Config{Send: (&fakeNet{}).send})
			require.NoError(t, err)
			go func() { _ = c.Run(t.Context()) }()
			d := artnet.TodData{PortAddress: 1, Total: total, Block: block}
			for ; len(uids) >= 6 && len(d.UIDs) < artnet.MaxTodUIDs; uids = uids[6:] {
				d.UIDs = append(d.UIDs, [6]byte(uids))
			}
			c.Receive(nodeA, &d)
			c.Receive(nodeA, &artnet.Rdm{PortAddress: 1, Message: message})
			synctest.Wait()
			require.LessOrEqual(t, len(c.Devices()), len(d.UIDs))
		})
	})
}
