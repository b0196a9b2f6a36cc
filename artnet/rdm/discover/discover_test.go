package discover_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/discover"
	"linkboy/artnet/rdm/responder"
)

var own = rdm.NewUID(0x7ff0, 1)

// wire is a line on which every message takes no time.
type wire struct {
	*responder.Line
	spoil func(answer []byte) []byte // nil: nothing
}

func (w wire) Send(b []byte) []byte {
	answer, _ := w.Line.Send(time.Time{}, b)
	if w.spoil != nil {
		answer = w.spoil(answer)
	}
	return answer
}

func device(t testing.TB, u rdm.UID) *responder.Responder {
	t.Helper()
	r, err := responder.New(responder.Model{UID: u, Personalities: []responder.Personality{{Text: "8 bit", Slots: 4}}})
	require.NoError(t, err)
	return r
}

func line(t testing.TB, uids []rdm.UID) *responder.Line {
	t.Helper()
	l := responder.NewLine()
	for _, u := range uids {
		l.Plug(device(t, u))
	}
	return l
}

// uids makes n different UIDs: all over the place, close together, or of one
// maker and in a row, as they leave the box.
func uids(rng *rand.Rand, n int) []rdm.UID {
	made := make(map[rdm.UID]bool)
	base := rdm.NewUID(uint16(rng.IntN(0x8000)), rng.Uint32N(0xffff0000))
	spread := []uint32{0xfffffffe, 4096, 512}[rng.IntN(3)]
	for len(made) < n {
		u := rdm.NewUID(base.Manufacturer(), base.Device()+rng.Uint32N(min(spread, 0xfffffffe-base.Device())))
		if spread == 0xfffffffe {
			u = rdm.NewUID(uint16(rng.IntN(0x8000)), rng.Uint32N(0xffffffff))
		}
		made[u] = true
	}
	var all []rdm.UID
	for u := range made {
		all = append(all, u)
	}
	slices.SortFunc(all, rdm.UID.Compare)
	return all
}

// Any set of devices is found, whole and alone, in a bounded number of messages.
func TestFindsAll(t *testing.T) {
	for seed := range uint64(8) {
		rng := rand.New(rand.NewPCG(seed, 7))
		want := uids(rng, []int{0, 1, 2, 3, 10, 100, 500}[seed%7])
		got := discover.All(wire{Line: line(t, want)}, own)
		require.Equal(t, want, got.UIDs, "seed %d", seed)
		require.False(t, got.Noisy, "seed %d", seed)
		require.LessOrEqual(t, got.Messages, 4+len(want)*(2*48+4), "seed %d", seed)
	}
}

// Answers of two UIDs laid over each other are those of a third, its checksum
// too: only DISC_MUTE tells that there is no such device.
func TestCollisionThatLooksLikeADevice(t *testing.T) {
	want := []rdm.UID{rdm.NewUID(0x7ff0, 0x03000001), rdm.NewUID(0x7ff0, 0x03000002)}
	l := line(t, want)
	data, err := rdm.Branch{Upper: rdm.NewUID(0xffff, 0xfffffffe)}.AppendBinary(nil)
	require.NoError(t, err)
	ask, err := (&rdm.Message{Destination: rdm.Broadcast(), Source: own, PortID: 1, Class: rdm.Discovery, PID: rdm.PIDDiscUniqueBranch, Data: data}).AppendBinary(nil)
	require.NoError(t, err)
	answer, _ := l.Send(time.Time{}, ask)
	u, err := rdm.ParseBranchReply(answer)
	require.NoError(t, err)
	require.Equal(t, rdm.NewUID(0x7ff0, 0x03000003), u)
	require.Equal(t, want, discover.All(wire{Line: l}, own).UIDs)
}

func TestSearchesAgainForWhatCameAndWent(t *testing.T) {
	all := uids(rand.New(rand.NewPCG(1, 1)), 40)
	l := line(t, all[:30])
	first := discover.All(wire{Line: l}, own)
	require.Equal(t, all[:30], first.UIDs)
	for _, d := range l.Devices()[:5] {
		l.Unplug(d)
	}
	for _, u := range all[30:] {
		l.Plug(device(t, u))
	}
	again := discover.Again(wire{Line: l}, own, first.UIDs)
	require.Equal(t, all[5:], again.UIDs)
	still := discover.Again(wire{Line: l}, own, again.UIDs)
	require.Equal(t, all[5:], still.UIDs)
	require.Equal(t, len(again.UIDs)+3, still.Messages, "one message a device and three that nobody answers")
}

// A device that answers after it was muted hides nobody and ends nothing.
func TestDeviceThatNeverMutes(t *testing.T) {
	want := uids(rand.New(rand.NewPCG(2, 2)), 20)
	for _, broken := range []int{0, 7, 19} {
		l := line(t, want)
		l.Devices()[broken].SetFault(responder.Fault{NeverMutes: true})
		got := discover.All(wire{Line: l}, own)
		require.Equal(t, want, got.UIDs)
		require.False(t, got.Noisy)
	}
}

// One device that is deaf is not found, and costs the others nothing.
func TestDeafDevice(t *testing.T) {
	want := uids(rand.New(rand.NewPCG(3, 3)), 10)
	l := line(t, want)
	l.Devices()[4].SetFault(responder.Fault{Deaf: true})
	require.Equal(t, slices.Delete(slices.Clone(want), 4, 5), discover.All(wire{Line: l}, own).UIDs)
}

// A line that loses answers is searched to its end; what is found is there.
func TestLossyLine(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	want := uids(rng, 100)
	lossy := wire{line(t, want), func(answer []byte) []byte {
		if rng.IntN(10) == 0 {
			return nil
		}
		return answer
	}}
	got := discover.All(lossy, own)
	require.False(t, got.Noisy)
	require.Subset(t, want, got.UIDs)
	for range 5 { // as a gateway goes on doing in the background
		got = discover.Again(lossy, own, got.UIDs)
	}
	require.Greater(t, len(got.UIDs), 90)
}

// A line that always says something ends the search with what it has.
func TestNoisyLine(t *testing.T) {
	for name, noise := range map[string][]byte{"noise": []byte("anything"), "one byte": {0xfe}, "nothing but no silence": {}} {
		got := discover.All(wire{responder.NewLine(), func([]byte) []byte { return noise }}, own)
		require.True(t, got.Noisy, name)
		require.Empty(t, got.UIDs, name)
		require.Less(t, got.Messages, 10_000, name)
	}
}

// BenchmarkAll searches a line of 32, the most that one may carry without a
// repeater (EIA-485), from mute to mute; the baseline is the messages alone.
func BenchmarkAll(b *testing.B) {
	want := uids(rand.New(rand.NewPCG(5, 5)), 32)
	l := wire{Line: line(b, want)}
	messages := discover.All(l, own).Messages
	b.Run("search", func(b *testing.B) {
		for b.Loop() {
			discover.All(l, own)
		}
		b.ReportMetric(float64(messages), "messages/op")
	})
	b.Run("baseline=messages", func(b *testing.B) {
		data, _ := rdm.Branch{Upper: rdm.NewUID(0xffff, 0xfffffffe)}.AppendBinary(nil)
		ask, _ := (&rdm.Message{Destination: rdm.Broadcast(), Source: own, PortID: 1, Class: rdm.Discovery, PID: rdm.PIDDiscUniqueBranch, Data: data}).AppendBinary(nil)
		for b.Loop() {
			for range messages {
				l.Send(ask)
			}
		}
	})
}
