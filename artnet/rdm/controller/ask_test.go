package controller_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/artnet/rdm/responder"
)

func TestSilentDevice(t *testing.T) {
	one(t, responder.Fault{Silent: true}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		began := time.Now()
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrNoAnswer)
		require.EqualError(t, err, "rdm: GET DEVICE_MODEL_DESCRIPTION of 7FF1:00000001 at node 192.0.2.21, port-address 0:0:1, tried 3 times: no answer in 1s; is it plugged in and on?")
		require.Equal(t, 3*time.Second+600*time.Millisecond, time.Since(began), "three tries of 1 s, 200 and 400 ms between")
		d, _ := n.c.Device(uid(1))
		require.Equal(t, err.Error(), d.Trouble)
		require.Equal(t, uint64(3), n.c.Stats().Timeouts)

		first.SetFault(responder.Fault{})
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
		d, _ = n.c.Device(uid(1))
		require.Empty(t, d.Trouble, "it is well again")
		require.Equal(t, time.Now(), d.LastSeen)
	})
}

func TestLostAnswersAreAskedForAgain(t *testing.T) {
	for _, fault := range []responder.Fault{{Silent: true, Answers: 2}, {BadChecksum: true, Answers: 2}, {Deaf: false, Slow: 1500 * time.Millisecond, Answers: 1}} {
		one(t, fault, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
			text, err := label(t, n, uid(1))
			require.NoError(t, err)
			require.Equal(t, "Tube", text)
		})
	}
}

func TestDamagedAnswers(t *testing.T) {
	one(t, responder.Fault{BadChecksum: true}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrNoAnswer)
		require.ErrorIs(t, err, rdm.ErrChecksum)
		require.Equal(t, uint64(3), n.c.Stats().Bad)
	})
}

// Every reason of ANSI E1.20 table A-17 in words.
func TestRefusalsInWords(t *testing.T) {
	for reason, words := range map[rdm.NackReason]string{
		rdm.NackUnknownPID: "unknown PID", rdm.NackFormat: "format error", rdm.NackHardwareFault: "hardware fault", rdm.NackProxyReject: "proxy reject",
		rdm.NackWriteProtect: "write protect", rdm.NackClass: "unsupported command class", rdm.NackRange: "data out of range",
		rdm.NackPacketSize: "packet size unsupported", rdm.NackSubDevice: "sub-device out of range", 0x7777: "reason 0x7777",
	} {
		one(t, responder.Fault{Refuse: true, Reason: reason}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
			before := n.c.Stats().Requests
			err := n.c.SetAddress(t.Context(), uid(1), 9)
			refused, ok := errors.AsType[*controller.Refused](err)
			require.True(t, ok)
			require.Equal(t, reason, refused.Reason)
			require.EqualError(t, err, "rdm: 7FF1:00000001 refuses SET DMX_START_ADDRESS: "+words)
			require.Equal(t, before+1, n.c.Stats().Requests, "a refusal is an answer: not asked again")
		})
	}
}

// A full buffer empties: the one refusal that is asked again.
func TestFullBufferIsWaitedFor(t *testing.T) {
	one(t, responder.Fault{Refuse: true, Reason: rdm.NackBufferFull, Answers: 2}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		require.NoError(t, n.c.SetAddress(t.Context(), uid(1), 9))
	})
	one(t, responder.Fault{Refuse: true, Reason: rdm.NackProxyBufferFull}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		require.ErrorContains(t, n.c.SetAddress(t.Context(), uid(1), 9), "proxy buffer full")
	})
}

// Answers that come after their time-out, twice, or of another transaction mean
// nothing, also while the next request waits.
func TestLateAndDoubleAnswers(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet { return []artnet.Packet{p, p, p} }
		for range 5 {
			text, err := label(t, n, uid(1))
			require.NoError(t, err)
			require.Equal(t, "Tube", text)
		}
		synctest.Wait()
		require.Equal(t, uint64(10), n.c.Stats().Late)

		// The answer of the first try comes while the second waits. It is of
		// another transaction, and the second gets its own.
		var held []artnet.Packet
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			if held == nil {
				held = []artnet.Packet{p}
				return nil
			}
			return append(held, p)
		}
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
		require.Equal(t, uint64(11), n.c.Stats().Late)
	})
	// All answers come half a second too late: none is taken for another's.
	one(t, responder.Fault{Slow: 1500 * time.Millisecond}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrNoAnswer)
	})
}

func TestNobodysAnswers(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		m := rdm.Message{Destination: own, Source: uid(1), Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo, Data: make([]byte, 19)}
		b, err := m.AppendWithoutStart(nil)
		require.NoError(t, err)
		late := n.c.Stats().Late
		n.c.Receive(nodeA, &artnet.Rdm{PortAddress: 1, Message: b})
		n.c.Receive(nodeB, &artnet.Rdm{PortAddress: 1, Message: b})
		n.c.Receive(nodeA, &artnet.Rdm{PortAddress: 9, Message: b})
		n.c.Receive(nodeA, &artnet.Poll{})
		synctest.Wait()
		require.Equal(t, late+3, n.c.Stats().Late)
	})
}

// ANSI E1.20 section 6.3.3: an answer that is put off is asked for after its
// time, not before, and the line is free meanwhile.
func TestPutOffAnswers(t *testing.T) {
	one(t, responder.Fault{Timer: 2 * time.Second, Answers: 1}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		began := time.Now()
		var wait sync.WaitGroup
		wait.Go(func() {
			_, err := label(t, n, uid(2))
			require.NoError(t, err)
			require.Less(t, time.Since(began), 10*time.Millisecond, "another device of the line is not held up")
		})
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
		require.Equal(t, 2*time.Second, time.Since(began))
		wait.Wait()

		first.SetFault(responder.Fault{Timer: time.Second, Answers: 1})
		require.NoError(t, n.c.SetLabel(t.Context(), uid(1), "lane 1"))
		require.Equal(t, "lane 1", first.State().Label)
	})
	// A refusal may come late as well.
	one(t, responder.Fault{Timer: time.Second, Answers: 1}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		require.ErrorContains(t, n.c.SetAddress(t.Context(), uid(1), 512), "data out of range")
	})
	// A device without a queue is asked the same again.
	one(t, responder.Fault{Timer: time.Second, NoQueue: true, Answers: 2}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
	})
	// One that puts off for ever ends, and so does one that asks for too long.
	one(t, responder.Fault{Timer: time.Second, NoQueue: true}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrBusy)
	})
	one(t, responder.Fault{Timer: time.Hour}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		began := time.Now()
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrBusy)
		require.ErrorContains(t, err, "by 1h0m0s, more than 30s")
		require.Equal(t, began, time.Now(), "not waited for")
	})
}

// What waits in a device's queue before the answer is kept, not lost.
func TestOtherMessagesInTheQueue(t *testing.T) {
	one(t, responder.Fault{Timer: time.Second, Answers: 1}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		// Somebody sets the address at the device and asks for it; the answer waits.
		m := rdm.Message{Destination: uid(1), Source: own, PortID: 1, Class: rdm.Set, PID: rdm.PIDDMXStartAddress, Data: []byte{1, 0}}
		first.SetFault(responder.Fault{})
		send := func() {
			b, err := m.AppendBinary(nil)
			require.NoError(t, err)
			first.Answer(time.Now(), b)
		}
		send()
		first.SetFault(responder.Fault{Timer: time.Second, Answers: 1})
		m.Class, m.Data = rdm.Get, nil
		send()
		first.SetFault(responder.Fault{Timer: time.Second, Answers: 1})
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
		d, _ := n.c.Device(uid(1))
		require.Equal(t, rdm.StartAddress(256), d.Info.StartAddress)
	})
}

// ANSI E1.20 section 6.3.2: parts are joined.
func TestAnswersInParts(t *testing.T) {
	one(t, responder.Fault{Most: 3}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		text, err := label(t, n, uid(1))
		require.NoError(t, err)
		require.Equal(t, "Tube", text)
	})
	long := device(t, 1, func(m *responder.Model) {
		for pid := rdm.PID(0x8000); pid < 0x8000+500; pid++ {
			m.Own = append(m.Own, rdm.ParameterDescription{PID: pid})
		}
	})
	bubble(t, map[controller.Gateway]*responder.Line{lineA: responder.NewLine(long)}, nil, func(t *testing.T, n *fakeNet) {
		_, err := n.c.Discover(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		d, _ := n.c.Device(uid(1))
		require.True(t, d.Asked, d.Trouble)
		require.Equal(t, rdm.PID(0x8000+499), d.Supported[len(d.Supported)-1])
		require.Greater(t, len(d.Supported), 500)
	})
	// Parts that never end do.
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		n.spoil = func(_ controller.Gateway, p artnet.Packet) []artnet.Packet {
			var m rdm.Message
			require.NoError(t, m.ParseWithoutStart(p.(*artnet.Rdm).Message))
			m.Response = rdm.ResponseOverflow
			b, err := m.AppendWithoutStart(nil)
			require.NoError(t, err)
			return []artnet.Packet{&artnet.Rdm{PortAddress: 1, Message: b}}
		}
		_, err := label(t, n, uid(1))
		require.ErrorIs(t, err, controller.ErrTooLong)
	})
}

// A dead device on one line costs other lines nothing, and others of its own
// line a time-out at a time.
func TestSlowLineHoldsUpNoOther(t *testing.T) {
	dead := device(t, 1, nil)
	lines := map[controller.Gateway]*responder.Line{
		lineA: responder.NewLine(dead, device(t, 2, nil)), lineB: responder.NewLine(device(t, 3, nil)), lineC: responder.NewLine(device(t, 4, nil)),
	}
	bubble(t, lines, nil, func(t *testing.T, n *fakeNet) {
		_, err := n.c.Discover(t.Context(), []controller.Gateway{lineA, lineB, lineC})
		require.NoError(t, err)
		dead.SetFault(responder.Fault{Silent: true})
		began := time.Now()
		took := map[uint32]time.Duration{}
		var mu sync.Mutex
		var wait sync.WaitGroup
		for _, k := range []uint32{1, 2, 3, 4} {
			wait.Go(func() {
				_, err := label(t, n, uid(k))
				require.Equal(t, k == 1, err != nil, err)
				mu.Lock()
				defer mu.Unlock()
				took[k] = time.Since(began)
			})
			synctest.Wait() // in order
		}
		wait.Wait()
		require.Equal(t, map[uint32]time.Duration{1: 3600 * time.Millisecond, 2: time.Second, 3: 0, 4: 0}, took)
	})
}

func TestEveryCallEndsWithItsContext(t *testing.T) {
	for what, fault := range map[string]responder.Fault{"no answer": {Silent: true}, "put off": {Timer: 20 * time.Second}, "a full buffer": {Refuse: true, Reason: rdm.NackBufferFull}} {
		t.Run(what, func(t *testing.T) {
			one(t, fault, func(t *testing.T, n *fakeNet, first *responder.Responder) {
				ctx, cancel := context.WithTimeout(t.Context(), 300*time.Millisecond)
				defer cancel()
				began := time.Now()
				_, err := n.c.Get(ctx, uid(1), rdm.PIDDeviceHours, nil)
				require.ErrorIs(t, err, context.DeadlineExceeded)
				require.Equal(t, 300*time.Millisecond, time.Since(began))
				d, _ := n.c.Device(uid(1))
				require.Empty(t, d.Trouble, "who went away says nothing of the device")
				first.SetFault(responder.Fault{})
				_, err = label(t, n, uid(1))
				require.NoError(t, err, "and the line is free")
			})
		})
	}
	one(t, responder.Fault{Silent: true}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		go func() { _, _ = label(t, n, uid(1)) }()
		synctest.Wait()
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err := n.c.Get(ctx, uid(2), rdm.PIDDeviceHours, nil)
		require.ErrorIs(t, err, context.Canceled, "while another has the line")
		_, err = n.c.Tables(ctx, []controller.Gateway{{Node: nodeB, PortAddress: 7}})
		require.ErrorIs(t, err, context.Canceled)
		time.Sleep(10 * time.Second)
	})
}

func TestSendingThatFails(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		n.fail = errors.New("the network is gone")
		_, err := label(t, n, uid(1))
		require.ErrorContains(t, err, "the network is gone")
		require.ErrorContains(t, n.c.Flush([]controller.Gateway{lineA}), "the network is gone")
		_, err = n.c.Discover(t.Context(), []controller.Gateway{lineA})
		require.ErrorContains(t, err, "the network is gone")
	})
}

func TestUnknownDevice(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, _ *responder.Responder) {
		_, err := label(t, n, uid(9))
		require.ErrorIs(t, err, controller.ErrUnknownDevice)
		_, ok := n.c.Device(uid(9))
		require.False(t, ok)
	})
	_, err := controller.New(controller.Config{})
	require.ErrorContains(t, err, "no way to send")
}
