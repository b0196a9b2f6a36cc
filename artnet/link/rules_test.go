package link_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
)

// What Art-Net 4, revision 1.4dp, asks of a controller that sends, by section,
// and the test that holds us to it. Paths are from this folder.
var senderRules = []struct{ section, rule, file, test string }{
	{"ArtDmx", "the sequence counts 1..255 and back to 1, never 0, per port-address", "sender_test.go", "TestFullRateLosesNoFrame"},
	{"ArtDmx", "one count per port-address, whoever it goes to", "sync_test.go", "TestUnicastToEverySubscriber"},
	{"ArtDmx", "the count goes on when the location changes", "sender_test.go", "TestSequenceOutlivesAChangeOfLocation"},
	{"ArtDmx", "an even number of slots, 2..512", "rules_test.go", "TestOddSlotsGoOutEven"},
	{"ArtDmx", "unicast to every device that lists the port-address, and no other", "sync_test.go", "TestUnicastToEverySubscriber"},
	{"ArtDmx", "all pages of a reply count", "discover_test.go", "TestPagesOfOneNode"},
	{"ArtDmx", "nobody lists it: nothing is sent", "sync_test.go", "TestUnicastToEverySubscriber"},
	{"ArtDmx", "no broadcast (we do when told to, against the standard)", "sync_test.go", "TestBroadcastOnlyWhenAsked"},
	{"ArtDmx", "no faster than a DMX512 frame of 512 slots, 44 Hz", "sender_test.go", "TestRateIsBounded"},
	{"ArtDmx", "a change goes out at once", "sender_test.go", "TestChangedUniversesGoAtOnceAndAlone"},
	{"ArtDmx", "unchanged data is repeated, 800..1000 ms recommended", "sender_test.go", "TestUnchangedDataRepeats"},
	{"ArtSync", "after the last ArtDmx of a frame, of more than one universe", "sync_test.go", "TestSyncEndsEveryFrame"},
	{"ArtSync", "by directed broadcast only", "sync_test.go", "TestSyncEndsEveryFrame"},
	{"ArtSync", "once begun after every frame, keep-alives too, or devices wait 4 s", "sync_test.go", "TestSyncEndsEveryFrame"},
	{"ArtSync", "from the address that ArtDmx comes from", "sync_test.go", "TestSyncAtTheNode"},
	{"ArtSync", "a node: the first one begins buffering, each further puts out, 4 s without end it", "../fakenode/node_test.go", "TestArtSync"},
	{"ArtPoll", "every 2.5 to 3 s, by directed broadcast", "discover_test.go", "TestPollsEveryTwoAndAHalfToThreeSeconds"},
	{"ArtPoll", "no ArtPollReply within 3 s: disconnected", "discover_test.go", "TestNodeIsFoundLostAndBack"},
}

// The table above names tests that are there.
func TestEverySenderRuleHasItsTest(t *testing.T) {
	tests := map[string]bool{}
	for _, r := range senderRules {
		if !tests[r.file] {
			file, err := parser.ParseFile(token.NewFileSet(), filepath.FromSlash(r.file), nil, 0)
			require.NoError(t, err)
			tests[r.file] = true
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok {
					tests[r.file+f.Name.Name] = true
				}
			}
		}
		require.True(t, tests[r.file+r.test], "%s: %s: no %s in %s", r.section, r.rule, r.test, r.file)
	}
}

// An odd number of slots gets a zero after it; and is not taken for a change
// when it comes again.
func TestOddSlotsGoOutEven(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{7}, {1, 2, 3}}, false))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 2)
		require.Equal(t, []byte{7, 0}, dmx[0].Data)
		require.Equal(t, []byte{1, 2, 3, 0}, dmx[1].Data)
		time.Sleep(frameGap)
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{7}, {1, 2, 3}}, false))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Empty(t, dmx)
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{7, 0}, {1, 2, 3}}, false))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1, "a slot more is a change")
		require.Equal(t, uint8(2), dmx[0].Sequence)
	})
}

// Of a port-address named twice in a frame the last counts, and goes once.
func TestPortAddressNamedTwice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		require.NoError(t, l.SendFrame([]uint16{1, 1}, [][]byte{{1, 1}, {2, 2}}, true))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Equal(t, []byte{2, 2}, dmx[0].Data)
	})
}
