package rdm_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
)

// What is taken is written again byte for byte. An input is tried as it is and
// with its checksum put right, or hardly any would be taken.
func FuzzMessage(f *testing.F) {
	for _, g := range goldenMessages {
		b := whole(f, g.file)
		f.Add(b)
		f.Add(b[:len(b)-1])
		f.Add(append(b, 1))
	}
	longest, err := (&rdm.Message{Class: rdm.SetResponse, Data: make([]byte, rdm.MaxData)}).AppendBinary(nil)
	require.NoError(f, err)
	f.Add(longest)
	f.Fuzz(func(t *testing.T, in []byte) {
		again(t, in)
		if len(in) >= rdm.MinSize {
			again(t, summed(in, 0, 0xcc, 0x01, byte(len(in)-2)))
		}
	})
}

func again(t *testing.T, in []byte) {
	var m, back rdm.Message
	if m.Parse(in) != nil {
		return
	}
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, in[:len(b)], b)
	require.NoError(t, back.ParseWithoutStart(b[1:]))
	require.Equal(t, m, back)
	_, _ = m.Check(), m.String() // never panic
}

// Every parameter that is taken encodes to data that says the same.
func FuzzParameter(f *testing.F) {
	for _, c := range parameterCases {
		f.Add(uint8(c.class), uint16(c.pid), uint8(0), []byte(c.bytes))
	}
	for response := range uint8(4) {
		f.Add(uint8(rdm.GetResponse), uint16(rdm.PIDDeviceInfo), response, []byte{0, 5})
	}
	f.Add(uint8(rdm.GetResponse), uint16(rdm.PIDDeviceLabel), uint8(0), []byte("caf\xe9\x00 rest of it, well over the thirty-two bytes"))
	f.Fuzz(func(t *testing.T, class uint8, pid uint16, response uint8, data []byte) {
		m := rdm.Message{Class: rdm.Class(class), PID: rdm.PID(pid), Response: rdm.Response(response), Data: data}
		first, err := m.Decode()
		if err != nil {
			return
		}
		_ = fmt.Sprint(first) // never panics
		m.Data, err = first.AppendBinary(nil)
		require.NoError(t, err)
		second, err := m.Decode()
		require.NoError(t, err)
		require.Equal(t, first, second)
	})
}

// Only the very bytes of one device are a branch reply: what is taken is what
// that device sends, and nothing else is.
func FuzzBranchReply(f *testing.F) {
	f.Add([]byte(branchReply))
	f.Add([]byte(branchReply[3:]))
	f.Add(rdm.AppendBranchReply(nil, rdm.NewUID(0xaa55, 0x55aa55aa)))
	f.Fuzz(func(t *testing.T, in []byte) {
		u, err := rdm.ParseBranchReply(in)
		if err != nil {
			return
		}
		b := rdm.AppendBranchReply(nil, u)
		preamble := 0
		for in[preamble] == 0xfe {
			preamble++
		}
		require.Equal(t, b[7:], in[preamble:preamble+17])
	})
}

func FuzzParseUID(f *testing.F) {
	for _, s := range []string{"7FF0:00000001", "ffff:ffffffff", ":", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		u, err := rdm.ParseUID(text)
		if err != nil {
			return
		}
		again, err := rdm.ParseUID(u.String())
		require.NoError(t, err)
		require.Equal(t, u, again)
	})
}
