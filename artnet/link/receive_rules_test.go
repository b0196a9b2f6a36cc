package link_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What Art-Net 4, revision 1.4dp, asks of a controller that receives, by section,
// and the test that holds us to it. Paths are from this folder. What it asks of a
// receiver of levels stands in package listen.
var receiverRules = []struct{ section, rule, file, test string }{
	{"General", "any ProtVer from 14 on is taken, an older one is not", "../rules_test.go", "TestParseRules"},
	{"General", "a least length is checked, more bytes are ignored, missing fields count as 0", "../rules_test.go", "TestParseRules"},
	{"General", "unknown op-codes are ignored", "discover_test.go", "TestGarbageIsCountedAndIgnored"},
	{"General", "broadcast is the directed one, IP OR NOT mask", "../peer/peer_test.go", "TestDirectedBroadcast"},
	{"ArtPoll", "every 2.5 to 3 s, by directed broadcast", "discover_test.go", "TestPollsEveryTwoAndAHalfToThreeSeconds"},
	{"ArtPoll", "a poll is answered, our own too, by unicast", "discover_test.go", "TestAnswersPolls"},
	{"ArtPoll", "after a random 0..1 s", "../peer/peer_test.go", "TestRandomDelayIsWithinASecond"},
	{"ArtPoll", "one answer for all polls meanwhile", "../peer/peer_test.go", "TestAnswersWaitTheirTime"},
	{"ArtPoll", "targeted mode: only with a port-address inside the range", "discover_test.go", "TestAnswersPolls"},
	{"ArtPollReply", "at most 4 ports a page, one net and sub-net, BindIndex from 1", "discover_test.go", "TestAnswersPolls"},
	{"ArtPollReply", "no ports: one page", "discover_test.go", "TestControllerWithoutUniversesAnswersOnePage"},
	{"ArtPollReply", "sourced universes are inputs, never outputs", "discover_test.go", "TestAnswersPolls"},
	{"ArtPollReply", "the count in NodeReport goes up", "discover_test.go", "TestAnswersPolls"},
	{"ArtPollReply", "pages of one device belong together, BindIndex 0 is 1", "discover_test.go", "TestPagesOfOneNode"},
	{"ArtPollReply", "207 bytes are enough, port and style are not trusted", "discover_test.go", "TestQuirkyReply"},
	{"ArtPollReply", "what PortTypes, GoodInput and GoodOutput say", "../status_test.go", "TestPortsOfAReply"},
	{"ArtPollReply", "what Status1, Status2 and Status3 say", "../status_test.go", "TestStatusWords"},
	{"ArtPollReply", "none within 3 s of the poll: disconnected", "discover_test.go", "TestNodeIsFoundLostAndBack"},
	{"ArtPollReply", "back again: full frames at once", "discover_test.go", "TestNodeThatWasOnlyBrieflyLostGetsAFullFrame"},
	{"ArtDmx", "a Length that is odd, 0, over 512 or too long is malformed", "../rules_test.go", "TestParseRules"},
	{"ArtDmx", "of another controller for a port-address of ours: named", "receive_test.go", "TestAnotherControllerIsNamed"},
}

// The table above names tests that are there.
func TestEveryReceiverRuleHasItsTest(t *testing.T) {
	declared := map[string]map[string]bool{}
	for _, r := range receiverRules {
		if declared[r.file] == nil {
			declared[r.file] = testsIn(t, r.file)
		}
		require.True(t, declared[r.file][r.test], "%s: %s: no %s in %s", r.section, r.rule, r.test, r.file)
	}
}

// testsIn are the functions of a file.
func testsIn(t *testing.T, path string) map[string]bool {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), filepath.FromSlash(path), nil, 0)
	require.NoError(t, err)
	names := map[string]bool{}
	for _, d := range file.Decls {
		if f, ok := d.(*ast.FuncDecl); ok {
			names[f.Name.Name] = true
		}
	}
	return names
}
