package source_test

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// The table of the standard's rules in the package comment names a test for
// each, and the tests are there.
func TestRulesHaveTests(t *testing.T) {
	doc, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	files, err := filepath.Glob("*_test.go")
	require.NoError(t, err)
	var tests []byte
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		tests = append(tests, b...)
	}
	rules := regexp.MustCompile(`(?m)^//\t\d[\d.]* .*$`).FindAll(doc, -1)
	require.Len(t, rules, 12)
	for _, rule := range rules {
		names := regexp.MustCompile(`Test\w+`).FindAll(rule, -1)
		require.NotEmpty(t, names, "%s", rule)
		for _, name := range names {
			require.Contains(t, string(tests), "\nfunc "+string(name)+"(", "%s", rule)
		}
	}
}
