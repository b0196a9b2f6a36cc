// Package outside is what tests of the packets and of the network need from
// outside the project: other programs, npm packages, golden bytes, a port of
// their own. Only tests import it.
package outside

import (
	"encoding/hex"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Patience is how long a test waits for something that ought to come soon: it decides when a
// test has failed, never when it has passed.
const Patience = 30 * time.Second

// Await asks every few milliseconds until cond holds. It asks in the test's own goroutine,
// where a question that fails can end the test.
func Await(t testing.TB, what string, cond func() bool) {
	t.Helper()
	await(t, Patience, what, cond)
}

// AwaitWork is Await for what a child computes at idle priority: beside other tests it gets
// what they leave.
func AwaitWork(t testing.TB, what string, cond func() bool) {
	t.Helper()
	await(t, 6*Patience, what, cond)
}

func await(t testing.TB, patience time.Duration, what string, cond func() bool) {
	t.Helper()
	for end := time.Now().Add(patience); !cond(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited %v for: %s", patience, what)
		}
	}
}

// Tool finds a program. Without it the test is skipped, or fails where
// LINKBOY_REQUIRE_TOOLS is set.
func Tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		missing(t, "%s is not installed; this test compares with it", name)
	}
	return path
}

// NodeModules finds Node.js and the folder that holds npm packages, which
// LINKBOY_NODE_MODULES names, else .ci/node/node_modules of the project. Without
// them the test is skipped or fails, as for Tool.
func NodeModules(t testing.TB, packages ...string) (node, modules string) {
	t.Helper()
	modules = os.Getenv("LINKBOY_NODE_MODULES")
	if modules == "" {
		modules = filepath.Join(root(t), ".ci", "node", "node_modules")
	}
	node, err := exec.LookPath("node")
	for _, p := range packages {
		if err == nil {
			_, err = os.Stat(filepath.Join(modules, p))
		}
	}
	if err != nil {
		missing(t, "%v; this test talks with the npm packages %v: run .ci/setup", err, packages)
	}
	return node, modules
}

func missing(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}

// root is the folder of the project: the nearest one above a test with go.mod.
func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, dir, up, "no go.mod above the test")
		dir = up
	}
}

// Golden reads the bytes of testdata/NAME.hex: digits, with comments behind #. Their
// origin is told by the README beside.
func Golden(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".hex"))
	require.NoError(t, err)
	var digits strings.Builder
	for line := range strings.Lines(string(text)) {
		line, _, _ = strings.Cut(line, "#")
		digits.WriteString(strings.Join(strings.Fields(line), ""))
	}
	b, err := hex.DecodeString(digits.String())
	require.NoError(t, err)
	return b
}

// FreePort is a UDP port that nobody had a moment ago. Tests have one each, so
// that no broadcast on loopback reaches another test.
func FreePort(t testing.TB) int {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4zero})
	require.NoError(t, err)
	defer c.Close()
	return c.LocalAddr().(*net.UDPAddr).Port
}
