package showfile_test

import (
	"net/netip"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// Every key of outputs arrives in the model.
func TestOutputs(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/outputs.txtar")
	require.NoError(t, err)
	fsys, _ := caseFiles(t, "", archive)
	show, problems := showfile.LoadFS(fsys, "tidewater")
	require.Empty(t, problems)
	got := show.Locations[0].Outputs
	for _, o := range got {
		require.NotZero(t, o.At.Line)
		o.At = cues.Pos{}
	}
	at := netip.MustParseAddrPort
	require.Equal(t, []*cues.Output{
		{Over: cues.ArtNet, Universes: []uint16{1}, To: []netip.AddrPort{at("192.168.1.21:0"), at("192.168.1.22:6455")}, Interface: "eth1", Sync: true, Priority: 100},
		{Over: cues.ArtNet, Universes: []uint16{2}, Broadcast: true, Interface: "eth1", Priority: 100},
		{Over: cues.ArtNet, Interface: "10.0.0.7", Priority: 100},
		{Over: cues.SACN, Priority: 120, SyncAddress: 7000, Offset: 100, TTL: 4, Preview: true},
		{Over: cues.SACN, Universes: []uint16{1, 2}, To: []netip.AddrPort{at("192.168.1.30:0")}, Interface: "Ethernet 2", Priority: 100},
	}, got)
	u, ok := got[3].SACNUniverse(2)
	require.True(t, ok)
	require.Equal(t, 102, u)

	show, _ = showfile.LoadFS(base(t), "tidewater")
	require.Nil(t, show.Locations[0].Outputs, "a location that does not say is not one that sends nothing")
	require.Equal(t, []uint16{1, 2}, show.Locations[0].Ports())
}
