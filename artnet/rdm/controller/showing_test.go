package controller_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm/controller"
	"linkboy/artnet/rdm/responder"
)

// No lamp is left flashing: not after its while, not by one that answers late,
// and not when the program ends.
func TestShowingEnds(t *testing.T) {
	one(t, responder.Fault{}, func(t *testing.T, n *fakeNet, first *responder.Responder) {
		second := n.lines[lineA].Devices()[1]
		s := controller.NewShowing(n.c, time.Minute)
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() { done <- s.Run(ctx) }()
		require.NoError(t, s.Identify(t.Context(), uid(1), true))
		time.Sleep(30 * time.Second)
		require.NoError(t, s.Identify(t.Context(), uid(2), true))
		require.True(t, first.State().Identify && second.State().Identify)
		time.Sleep(30*time.Second + time.Millisecond)
		require.False(t, first.State().Identify)
		require.True(t, second.State().Identify)
		require.NoError(t, s.Identify(t.Context(), uid(2), true), "longer")
		time.Sleep(45 * time.Second)
		require.True(t, second.State().Identify)
		require.NoError(t, s.Identify(t.Context(), uid(2), false))
		require.False(t, second.State().Identify)
		require.ErrorIs(t, s.Identify(t.Context(), uid(9), true), controller.ErrUnknownDevice)

		// Switched on without an answer, and deaf when its time is over: asked
		// again until it obeys.
		first.SetFault(responder.Fault{Silent: true})
		require.ErrorIs(t, s.Identify(t.Context(), uid(1), true), controller.ErrNoAnswer)
		require.True(t, first.State().Identify)
		first.SetFault(responder.Fault{Deaf: true})
		time.Sleep(90 * time.Second)
		require.True(t, first.State().Identify)
		first.SetFault(responder.Fault{})
		time.Sleep(time.Minute)
		require.False(t, first.State().Identify)

		require.NoError(t, s.Identify(t.Context(), uid(1), true))
		require.NoError(t, s.Identify(t.Context(), uid(2), true))
		cancel()
		require.NoError(t, <-done)
		require.False(t, first.State().Identify || second.State().Identify)
		synctest.Wait()
	})
}
