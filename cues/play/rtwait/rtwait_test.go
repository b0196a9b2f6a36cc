package rtwait_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play/playtest"
	"linkboy/cues/play/rtwait"
)

func TestWaiterKeepsItsContract(t *testing.T) {
	playtest.CheckWaiter(t, rtwait.New(nil))
}

func TestWaitDoesNotAllocate(t *testing.T) {
	w := rtwait.New(nil)
	w.Begin()
	defer w.End()
	require.Zero(t, testing.AllocsPerRun(50, func() {
		w.Wait(time.Now().Add(100 * time.Microsecond))
		w.Wake()
		w.Wait(time.Now().Add(time.Hour))
	}))
}
