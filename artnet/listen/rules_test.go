package listen_test

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every rule in the package's documentation names a test, and that is there.
func TestEveryRuleHasItsTest(t *testing.T) {
	doc, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	files, err := filepath.Glob("*_test.go")
	require.NoError(t, err)
	var tests string
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		tests += string(b)
	}
	rules := regexp.MustCompile(`(?m)^//\t(E1\.31|Art-Net|      ).*\b(Test\w+)$`).FindAllStringSubmatch(string(doc), -1)
	require.Len(t, rules, 13)
	for _, r := range rules {
		require.Contains(t, tests, "func "+r[2]+"(t *testing.T)", r[0])
	}
}
