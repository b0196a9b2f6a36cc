package rdm_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
)

// summed is b with other values at a place and its checksum put right.
func summed(b []byte, at int, values ...byte) []byte {
	b = slices.Clone(b)
	copy(b[at:], values)
	sum := rdm.Checksum(b[:len(b)-2])
	b[len(b)-2], b[len(b)-1] = byte(sum>>8), byte(sum)
	return b
}

// What is a message and what is not. Each row names the section of ANSI E1.20
// that decides it (numbers from memory).
func TestParseRules(t *testing.T) {
	get, info := whole(t, "artrdm-get-deviceinfo"), whole(t, "artrdm-deviceinfo-response")
	for _, c := range []struct {
		rule, name string
		in         []byte
		err        error
	}{
		{"6.2.1", "nothing", nil, rdm.ErrStart},
		{"6.2.1", "another START code", summed(get, 0, 0), rdm.ErrStart},
		{"6.2.2", "another sub-START code", summed(get, 1, 2), rdm.ErrStart},
		{"6.2.2", "the START code alone", get[:1], rdm.ErrStart},
		{"6.2.3", "a message of 25 bytes", get[:25], rdm.ErrShort},
		{"6.2.3", "a message of 26 bytes", get, nil},
		{"6.2.3", "a length under 24", summed(get, 2, 23), rdm.ErrLength},
		{"6.2.3", "a length over the data", summed(get, 2, 25), rdm.ErrLength},
		{"6.2.3", "a packet that ends before its length", info[:len(info)-1], rdm.ErrShort},
		{"6.2.3", "bytes after the checksum", append(slices.Clone(info), 1, 2), nil},
		{"6.2.10.3", "a data length over the message", summed(info, 23, 20), rdm.ErrLength},
		{"6.2.10.3", "a data length of 232", summed(info, 23, 232), rdm.ErrLength},
		{"6.2.11", "one bit of the data", flip(info, 30), rdm.ErrChecksum},
		{"6.2.11", "one bit of the checksum", flip(info, len(info)-1), rdm.ErrChecksum},
		{"6.2.11", "the checksum low byte first", slices.Concat(get[:24], []byte{0xe5, 0x04}), rdm.ErrChecksum},
		{"6.2.10.1", "an unknown command class is seen", summed(get, 20, 0x40), nil},
		{"6.2.7", "an unknown response type is seen", summed(info, 16, 9), nil},
	} {
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			var m rdm.Message
			require.ErrorIs(t, m.Parse(c.in), c.err)
			require.Equal(t, c.err != nil, m.PID == 0, "a refused message changes nothing")
			if len(c.in) > 0 && c.in[0] == 0xcc {
				require.ErrorIs(t, m.ParseWithoutStart(c.in[1:]), c.err)
			}
		})
	}
}

func flip(b []byte, at int) []byte {
	b = slices.Clone(b)
	b[at] ^= 1
	return b
}

func TestLengths(t *testing.T) {
	m := rdm.Message{Class: rdm.Get, Data: make([]byte, rdm.MaxData)}
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	require.Len(t, b, 257, "6.2.3: the longest packet")
	require.Equal(t, byte(255), b[2], "6.2.3: message length without the checksum")
	b, err = m.AppendWithoutStart(nil)
	require.NoError(t, err)
	require.Len(t, b, 256)
	m.Data = append(m.Data, 0)
	for _, append := range []func([]byte) ([]byte, error){m.AppendBinary, m.AppendWithoutStart} {
		b, err = append([]byte("kept"))
		require.ErrorIs(t, err, rdm.ErrLength, "6.2.10.3: at most 231 bytes of data")
		require.Equal(t, "kept", string(b))
	}
}

// What one message alone can do against ANSI E1.20; "table A-3" is which
// classes a parameter has. Sections and rules 6.2.4 and 6.2.9 from memory.
func TestCheck(t *testing.T) {
	get := rdm.Message{Destination: responder, Source: asker, PortID: 1, Class: rdm.Get, PID: rdm.PIDDeviceInfo}
	set := rdm.Message{Destination: responder, Source: asker, PortID: 1, Class: rdm.Set, PID: rdm.PIDDMXStartAddress, Data: []byte{0, 1}}
	ack := get.Reply(responder, rdm.ResponseAck, make([]byte, 19))
	search := rdm.Message{Destination: rdm.Broadcast(), Source: asker, PortID: 1, Class: rdm.Discovery, PID: rdm.PIDDiscUniqueBranch, Data: make([]byte, 12)}
	for _, c := range []struct {
		rule, name string
		base       rdm.Message
		change     func(m *rdm.Message)
		ok         bool
	}{
		{"", "a GET", get, func(*rdm.Message) {}, true},
		{"", "a SET", set, func(*rdm.Message) {}, true},
		{"", "an ACK", ack, func(*rdm.Message) {}, true},
		{"", "a search", search, func(*rdm.Message) {}, true},
		{"6.2.4", "a GET to everyone", get, func(m *rdm.Message) { m.Destination = rdm.Broadcast() }, false},
		{"6.2.4", "a GET to all of a manufacturer", get, func(m *rdm.Message) { m.Destination = rdm.BroadcastTo(0x7ff0) }, false},
		{"6.2.4", "a SET to everyone", set, func(m *rdm.Message) { m.Destination = rdm.Broadcast() }, true},
		{"6.2.4", "an ACK to everyone", ack, func(m *rdm.Message) { m.Destination = rdm.Broadcast() }, false},
		{"6.2.5", "from everyone", get, func(m *rdm.Message) { m.Source = rdm.Broadcast() }, false},
		{"6.2.5", "from nobody", get, func(m *rdm.Message) { m.Source = rdm.UID{} }, false},
		{"6.2.7", "port 0", get, func(m *rdm.Message) { m.PortID = 0 }, false},
		{"6.2.7", "port 255", get, func(m *rdm.Message) { m.PortID = 255 }, true},
		{"6.2.7", "response type 4", ack, func(m *rdm.Message) { m.Response = 4 }, false},
		{"6.2.8", "a request that counts messages", get, func(m *rdm.Message) { m.Count = 1 }, false},
		{"6.2.8", "a response that counts messages", ack, func(m *rdm.Message) { m.Count = 255 }, true},
		{"6.2.9", "sub-device 512", get, func(m *rdm.Message) { m.SubDevice = 512 }, true},
		{"6.2.9", "sub-device 513", get, func(m *rdm.Message) { m.SubDevice = 513 }, false},
		{"6.2.9", "a SET to every sub-device", set, func(m *rdm.Message) { m.SubDevice = rdm.EverySubDevice }, true},
		{"6.2.9", "a GET to every sub-device", get, func(m *rdm.Message) { m.SubDevice = rdm.EverySubDevice }, false},
		{"6.2.9", "the answer to a SET to every sub-device", set, func(m *rdm.Message) {
			m.SubDevice = rdm.EverySubDevice
			*m = m.Reply(responder, rdm.ResponseAck, nil)
		}, true},
		{"6.2.9", "a NACK of a GET to every sub-device", get, func(m *rdm.Message) {
			m.SubDevice = rdm.EverySubDevice
			*m = m.Reply(responder, rdm.ResponseNack, []byte{0, 9})
		}, true},
		{"6.2.9", "a response of sub-device 513", ack, func(m *rdm.Message) { m.SubDevice = 513 }, false},
		{"6.2.9", "a search of a sub-device", search, func(m *rdm.Message) { m.SubDevice = 1 }, false},
		{"6.2.10.1", "class 0x40", get, func(m *rdm.Message) { m.Class = 0x40 }, false},
		{"6.2.10.3", "232 bytes", get, func(m *rdm.Message) { m.Data = make([]byte, 232) }, false},
		{"6.3", "a timer without a time", ack, func(m *rdm.Message) { m.Response, m.Data = rdm.ResponseTimer, nil }, false},
		{"6.3", "a timer", ack, func(m *rdm.Message) { m.Response, m.Data = rdm.ResponseTimer, []byte{0, 5} }, true},
		{"6.3", "a NACK of 1 byte", ack, func(m *rdm.Message) { m.Response, m.Data = rdm.ResponseNack, []byte{0} }, false},
		{"7.6", "a NACK of a search", search, func(m *rdm.Message) {
			*m = m.Reply(responder, rdm.ResponseNack, []byte{0, 0})
		}, false},
		{"table A-3", "a SET of DEVICE_INFO", set, func(m *rdm.Message) { m.PID = rdm.PIDDeviceInfo }, false},
		{"table A-3", "a GET of RESET_DEVICE", get, func(m *rdm.Message) { m.PID = rdm.PIDResetDevice }, false},
		{"table A-3", "a GET of DISC_MUTE", get, func(m *rdm.Message) { m.PID = rdm.PIDDiscMute }, false},
		{"table A-3", "a search of DEVICE_INFO", search, func(m *rdm.Message) { m.PID = rdm.PIDDeviceInfo }, false},
		{"table A-3", "a SET of a manufacturer's parameter", set, func(m *rdm.Message) { m.PID = 0x8001 }, true},
	} {
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			m := c.base
			c.change(&m)
			err := m.Check()
			if c.ok {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, rdm.ErrRule)
			require.ErrorContains(t, err, c.rule)
		})
	}
}

// 6.2.6 and 6.3: what makes a response the one that is waited for.
func TestReplyAnswers(t *testing.T) {
	request := rdm.Message{Destination: responder, Source: asker, Transaction: 200, PortID: 3, SubDevice: 2, Class: rdm.Set, PID: rdm.PIDDMXStartAddress}
	reply := request.Reply(responder, rdm.ResponseNack, []byte{0, 6})
	require.Equal(t, rdm.Message{
		Destination: asker, Source: responder, Transaction: 200, Response: rdm.ResponseNack, SubDevice: 2,
		Class: rdm.SetResponse, PID: rdm.PIDDMXStartAddress, Data: []byte{0, 6},
	}, reply)
	require.True(t, reply.Answers(&request))
	require.False(t, request.Answers(&request))
	for name, change := range map[string]func(m *rdm.Message){
		"another device":      func(m *rdm.Message) { m.Source = rdm.NewUID(0x7ff0, 2) },
		"to someone else":     func(m *rdm.Message) { m.Destination = rdm.NewUID(0x7ff0, 2) },
		"another transaction": func(m *rdm.Message) { m.Transaction++ },
		"another sub-device":  func(m *rdm.Message) { m.SubDevice = 0 },
		"another class":       func(m *rdm.Message) { m.Class = rdm.GetResponse },
		"another parameter":   func(m *rdm.Message) { m.PID = rdm.PIDDeviceInfo },
	} {
		other := reply
		change(&other)
		require.False(t, other.Answers(&request), name)
	}
	// 10.3.1: whatever waits is the answer to QUEUED_MESSAGE.
	queued := rdm.Message{Destination: responder, Source: asker, Transaction: 201, PortID: 3, Class: rdm.Get, PID: rdm.PIDQueuedMessage}
	late := reply
	late.Transaction = 201
	require.True(t, late.Answers(&queued))
	late.Class = rdm.DiscoveryResponse
	require.False(t, late.Answers(&queued))
}

func TestDataAliasesItsInput(t *testing.T) {
	in := whole(t, "artrdm-deviceinfo-response")
	var m rdm.Message
	require.NoError(t, m.Parse(in))
	in[24] = 9
	require.Equal(t, byte(9), m.Data[0])
	require.Equal(t, len(m.Data), cap(m.Data), "appending to Data writes elsewhere")
	require.NoError(t, m.Parse(whole(t, "artrdm-get-deviceinfo")))
	require.Nil(t, m.Data, "nothing of the last message is left")
	require.Zero(t, m.Response)
}

// 5: "MMMM:DDDDDDDD", FFFF:FFFFFFFF for all, MMMM:FFFFFFFF for a manufacturer's.
func TestUID(t *testing.T) {
	u, err := rdm.ParseUID("7ff0:000000a1")
	require.NoError(t, err)
	require.Equal(t, rdm.NewUID(0x7ff0, 0xa1), u)
	require.Equal(t, rdm.UID{0x7f, 0xf0, 0, 0, 0, 0xa1}, u)
	require.Equal(t, "7FF0:000000A1", u.String())
	require.Equal(t, uint16(0x7ff0), u.Manufacturer())
	require.Equal(t, uint32(0xa1), u.Device())
	for _, text := range []string{"", "7ff0", "7ff0:zz", "7ff0:000000012", "7ff00:00000001", "7ff0-00000001", "7ff0:0000000g"} {
		_, err := rdm.ParseUID(text)
		require.ErrorIs(t, err, rdm.ErrUID, "%q", text)
	}
	require.Equal(t, "FFFF:FFFFFFFF", rdm.Broadcast().String())
	require.False(t, u.IsBroadcast())
	require.True(t, rdm.Broadcast().IsBroadcast())
	require.True(t, rdm.BroadcastTo(0x7ff0).IsBroadcast())
	require.True(t, u.Reaches(u))
	require.False(t, u.Reaches(responder))
	require.True(t, rdm.Broadcast().Reaches(u))
	require.True(t, rdm.BroadcastTo(0x7ff0).Reaches(u))
	require.False(t, rdm.BroadcastTo(0x7ff1).Reaches(u))
	require.Negative(t, responder.Compare(u))
	require.Positive(t, rdm.NewUID(0x7ff1, 0).Compare(u))
	require.Zero(t, u.Compare(u))
}

// The branch reply of 7FF0:00000001, worked out by hand: 0x7FF0 0x00000001 as
// (b OR AA) (b OR 55), checksum the sum of those twelve, which is the sum of the
// UID's bytes plus six times 0xFF (each pair sums to b + 0xFF): 0x076A.
const branchReply = "\xfe\xfe\xfe\xfe\xfe\xfe\xfe\xaa" + "\xff\x7f\xfa\xf5\xaa\x55\xaa\x55\xaa\x55\xab\x55" + "\xaf\x57\xea\x7f"

func TestBranchReply(t *testing.T) {
	one := rdm.AppendBranchReply([]byte("before"), responder)
	require.Equal(t, "before"+branchReply, string(one))
	require.Len(t, branchReply, rdm.BranchReplySize)
	for _, u := range []rdm.UID{{}, responder, rdm.NewUID(0x7fff, 0xfffffffe), rdm.NewUID(0xaa55, 0x55aa55aa)} {
		b := rdm.AppendBranchReply(nil, u)
		var sum uint16 = 6 * 0xff
		for _, c := range u {
			sum += uint16(c)
		}
		require.Equal(t, sum, rdm.Checksum(b[8:20]), "the pairs sum to b + 0xFF")
		for missing := range 8 {
			got, err := rdm.ParseBranchReply(b[missing:])
			require.NoError(t, err, "7.5: preamble bytes may be lost, here %d", missing)
			require.Equal(t, u, got)
		}
		got, err := rdm.ParseBranchReply(append(b, 0, 0))
		require.NoError(t, err)
		require.Equal(t, u, got)
	}
}

func TestBranchReplyCollisions(t *testing.T) {
	for name, in := range map[string]string{
		"no separator":        branchReply[:7] + "\xab" + branchReply[8:],
		"eight of preamble":   "\xfe" + branchReply,
		"a byte that is none": branchReply[:8] + "\x7f" + branchReply[9:],
		"another checksum":    branchReply[:22] + "\xeb\x7f",
		// Sums that fit, 0x06EA and 0x0769, over pairs that no byte makes.
		"a bit of 0xAA is missing": branchReply[:8] + "\x7f" + branchReply[9:20] + "\xae\x57\xea\xff",
		"a bit of 0x55 is missing": branchReply[:11] + "\xf4" + branchReply[12:20] + "\xaf\x57\xeb\x7d",
	} {
		_, err := rdm.ParseBranchReply([]byte(in))
		require.ErrorIs(t, err, rdm.ErrCollision, name)
	}
	for n := range len(branchReply) {
		_, err := rdm.ParseBranchReply([]byte(branchReply[:n]))
		require.ErrorIs(t, err, rdm.ErrShort, "%d bytes", n)
	}
	// Two answers at once on a line: the bits of both, or only those of both. The
	// sum of 16 bits can fit by chance, and then discovery finds out when it mutes
	// the device; nearly all are known at once.
	devices := make([]rdm.UID, 60)
	for i := range devices {
		devices[i] = rdm.NewUID(0x7ff0, uint32(i*i*7919))
	}
	pairs, taken := 0, 0
	for i, u := range devices {
		for _, v := range devices[:i] {
			a, b := rdm.AppendBranchReply(nil, u), rdm.AppendBranchReply(nil, v)
			or, and := make([]byte, len(a)), make([]byte, len(a))
			for i := range a {
				or[i], and[i] = a[i]|b[i], a[i]&b[i]
			}
			for _, mixed := range [][]byte{or, and} {
				pairs++
				if got, err := rdm.ParseBranchReply(mixed); err == nil {
					taken++
					require.Equal(t, mixed, rdm.AppendBranchReply(nil, got), "a sum that fits")
				}
			}
		}
	}
	require.Equal(t, 3540, pairs)
	require.Less(t, taken, pairs/20)
	t.Logf("%d of %d collisions fit by chance", taken, pairs)
}

func TestBranchContains(t *testing.T) {
	r := rdm.Branch{Lower: rdm.NewUID(0x7ff0, 5), Upper: rdm.NewUID(0x7ff0, 7)}
	for device, want := range map[uint32]bool{4: false, 5: true, 6: true, 7: true, 8: false} {
		require.Equal(t, want, r.Contains(rdm.NewUID(0x7ff0, device)), "7.5: both bounds are asked, %d", device)
	}
}

func TestWords(t *testing.T) {
	for want, got := range map[string]interface{ String() string }{
		"DEVICE_INFO":          rdm.PIDDeviceInfo,
		"PID 0x8001":           rdm.PID(0x8001),
		"class 0x40":           rdm.Class(0x40),
		"DISCOVERY":            rdm.Discovery,
		"DISCOVERY response":   rdm.DiscoveryResponse,
		"response type 7":      rdm.Response(7),
		"ready in 1m0s":        rdm.AckTimer(600),
		"action not supported": rdm.NackAction,
		"reason 0x7777":        rdm.NackReason(0x7777),
		"dimmer":               rdm.CategoryDimmerLED,
		"category 0xee01":      rdm.Category(0xee01),
		"none":                 rdm.NoStartAddress,
		"cold":                 rdm.ResetCold,
		"error cleared":        rdm.StatusErrorCleared,
		"status type 0x77":     rdm.StatusType(0x77),
		"int32":                rdm.DataInt32,
		"data type 0x80":       rdm.DataType(0x80),
		"humidity":             rdm.SensorHumidity,
		"sensor type 0x60":     rdm.SensorType(0x60),
		"unit 0x80":            rdm.Unit(0x80),
		"2 of 3":               rdm.Personality{Current: 2, Count: 3},
	} {
		require.Equal(t, want, got.String())
	}
	require.Equal(t, 6553500*time.Millisecond, rdm.AckTimer(0xffff).Duration(), "6.3.3: tenths of a second")
	require.True(t, rdm.PID(0xffdf).OfManufacturer())
	require.False(t, rdm.PID(0xffe0).OfManufacturer())
	m := rdm.Message{Destination: responder, Source: asker, Transaction: 1, SubDevice: 4, Class: rdm.Set, PID: 0x8001, Data: []byte{1}}
	require.Equal(t, "SET PID 0x8001, 7FF0:00000099 to 7FF0:00000001, sub-device 4, transaction 1, 1 bytes", m.String())
	require.True(t, strings.HasPrefix(m.Check().Error(), "rdm: SET PID 0x8001"))
}
