package quality_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// specplot finds the spectrum tool of Debian's argyll, an implementation of
// its own. Without it the test is skipped, or fails where LINKBOY_REQUIRE_TOOLS
// is set.
func specplot(t *testing.T) string {
	t.Helper()
	tool, err := exec.LookPath("specplot")
	if err == nil {
		return tool
	}
	if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" {
		t.Fatalf("%v; LINKBOY_REQUIRE_TOOLS asks for the Debian package argyll: run .ci/setup", err)
	}
	t.Skipf("%v; this test runs a tool of the Debian package argyll: run .ci/setup", err)
	return ""
}

// spFile writes s at 5 nm from 380 to 780 nm as the tool reads it: a CGATS
// file, in which every number must have a decimal point.
func spFile(t *testing.T, name string, s spectra.Spectrum) string {
	t.Helper()
	const first, last, bands = 380, 780, 81
	var b, fields, values bytes.Buffer
	fmt.Fprintf(&b, "SPECT\n\nDESCRIPTOR \"%s\"\nORIGINATOR \"linkboy\"\nCREATED \"Thu Jan 01 00:00:00 1970\"\n", name)
	for _, k := range [][2]string{{"BANDS", strconv.Itoa(bands)}, {"START_NM", "380.0"}, {"END_NM", "780.0"}, {"NORM", "1.0"}} {
		fmt.Fprintf(&b, "KEYWORD \"SPECTRAL_%s\"\nSPECTRAL_%s \"%s\"\n", k[0], k[0], k[1])
	}
	for nm := first; nm <= last; nm += 5 {
		fmt.Fprintf(&b, "KEYWORD \"SPEC_%d\"\n", nm)
		fmt.Fprintf(&fields, "SPEC_%d ", nm)
		fmt.Fprintf(&values, "%.9f ", s[nm-spectra.FirstNM])
	}
	fmt.Fprintf(&b, "NUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\n%s\nEND_DATA_FORMAT\n\n", bands, fields.String())
	fmt.Fprintf(&b, "NUMBER_OF_SETS 1\nBEGIN_DATA\n%s\nEND_DATA\n", values.String())
	path := filepath.Join(t.TempDir(), "light.sp")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	return path
}

// said finds a number in the tool's answer.
func said(t *testing.T, answer []byte, pattern string) float64 {
	t.Helper()
	// The first answer is about the tool's own illuminant A, when it gives one.
	m := regexp.MustCompile(`(?s)Type = File.*?` + pattern).FindSubmatch(answer)
	require.NotNil(t, m, "%s in:\n%s", pattern, answer)
	v, err := strconv.ParseFloat(string(m[1]), 64)
	require.NoError(t, err)
	return v
}

// Every illuminant through the tool, live. What differs by more than 1e-6, by
// name:
//   - CCT: the tool carries the end values of a spectrum on beyond 380 and
//     780 nm, so the check does too; the digits of its search are left, 0.005 K;
//   - CRI, R9: it prints one decimal. R9 is met to another 0.21, from the
//     carried-on ends again. Ra of three-band lights (FL3.7, FL12) is lower by up
//     to 0.36 while R9 agrees, so among its eight pale samples one differs;
//   - TLCI: it prints one decimal. From 5000 K up its daylights differ from the
//     formula's as told at TestTLCIEveryRow: 0.06.
func TestAgainstSpecplot(t *testing.T) {
	tool := specplot(t)
	for name, s := range illuminants(t) {
		answer, err := exec.Command(tool, "-s", "-v", spFile(t, name, s)).CombinedOutput()
		require.NoError(t, err, "%s", answer)
		cct, err := carriedOn(s).XYZ().XY().CCT()
		require.NoError(t, err)
		require.InDelta(t, said(t, answer, `CCT = ([\d.]+)`), float64(cct.T), 0.006, name)
		cri, err := quality.CRI(s)
		require.NoError(t, err)
		require.InDelta(t, said(t, answer, `CRI = (-?[\d.]+)`), cri.Ra, half(1)+0.36, name)
		require.InDelta(t, said(t, answer, `R9 = (-?[\d.]+)`), cri.R[8], half(1)+0.21, name)
		tlci, err := quality.TLCIAt(s, quality.Every5)
		require.NoError(t, err)
		require.InDelta(t, said(t, answer, `TLCI = ([\d.]+)`), tlci.Q, half(1)+0.06, name)
	}
}

// carriedOn is s with its values at 380 and 780 nm carried on to either side.
func carriedOn(s spectra.Spectrum) spectra.Spectrum {
	const first, last = 380 - spectra.FirstNM, 780 - spectra.FirstNM
	for i := range s {
		s[i] = s[min(max(i, first), last)]
	}
	return s
}
