package play_test

import (
	"testing"

	"linkboy/cues/play"
	"linkboy/cues/play/playtest"
)

// TestDiscardKeepsTheContract: what the tests here use is an Output like any
// other.
func TestDiscardKeepsTheContract(t *testing.T) {
	playtest.Check(t, func() play.Output { return discard{} })
}
