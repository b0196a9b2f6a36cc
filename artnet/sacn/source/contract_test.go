package source_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/sacn/source"
	"linkboy/cues/play"
	"linkboy/cues/play/playtest"
)

// An output that the engine may be given.
func TestContract(t *testing.T) {
	playtest.Check(t, func() play.Output {
		s, err := source.OpenWire(config(source.Config{}), func() (source.Wire, error) { return &fakeWire{quiet: true}, nil })
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, s.Close()) })
		return s
	})
}
