//go:build !race

package rdm_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
)

// The race detector allocates, so these budgets hold only without it.
func TestAllocs(t *testing.T) {
	buf := make([]byte, 0, rdm.MaxSize)
	message := goldenMessages[1].message
	wire, reply := whole(t, "artrdm-deviceinfo-response"), []byte(branchReply)
	message.Data = make([]byte, 19)
	var into rdm.Message
	for _, c := range []struct {
		name string
		most float64
		do   func()
	}{
		{"append a message", 0, func() { buf, _ = message.AppendBinary(buf[:0]) }},
		{"append a message without its START code", 0, func() { buf, _ = message.AppendWithoutStart(buf[:0]) }},
		{"parse into a used message", 0, func() { _ = into.Parse(wire) }},
		{"append a branch reply", 0, func() { buf = rdm.AppendBranchReply(buf[:0], responder) }},
		{"parse a branch reply", 0, func() { _, _ = rdm.ParseBranchReply(reply) }},
		{"judge a message", 0, func() { _ = into.Check() }},
		{"decode: the parameter", 1, func() { _, _ = into.Decode() }},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.LessOrEqual(t, testing.AllocsPerRun(100, c.do), c.most)
		})
	}
	for _, c := range parameterCases {
		t.Run("append "+c.class.String()+" "+c.pid.String(), func(t *testing.T) {
			require.Zero(t, testing.AllocsPerRun(100, func() { buf, _ = c.data.AppendBinary(buf[:0]) }))
		})
		t.Run("parse into a used "+c.class.String()+" "+c.pid.String(), func(t *testing.T) {
			used, err := (&rdm.Message{Class: c.class, PID: c.pid, Data: []byte(c.bytes)}).Decode()
			require.NoError(t, err)
			data := []byte(c.bytes)
			require.Zero(t, testing.AllocsPerRun(100, func() { _ = used.Parse(data) }), "the same again makes nothing, a label neither")
		})
	}
}
