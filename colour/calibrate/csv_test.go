package calibrate_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/calibrate"
	"linkboy/colour/spectra"
	"linkboy/colour/table"
)

// straight writes a straight spectrum, 1 at 400 nm and 2 at 700 nm, by a format.
func straight(head, format string, comma bool) string {
	var b strings.Builder
	b.WriteString(head)
	for nm := 400; nm <= 700; nm += 10 {
		row := fmt.Sprintf(format, nm, 1+float64(nm-400)/300)
		if comma {
			row = strings.ReplaceAll(row, ".", ",")
		}
		b.WriteString(row)
	}
	return b.String()
}

// Whatever parts the columns, whatever stands above them.
func TestReadCSV(t *testing.T) {
	for name, text := range map[string]string{
		"plain":         straight("", "%d,%v\n", false),
		"head":          straight("nm,power\n", "%d,%v\n", false),
		"particulars":   straight("Meter,X\nDate,today\n\n# dark room\nWavelength (nm),mW/m2/nm\n", "%d , %v\n", false),
		"semicolons":    straight("nm;W\n", "%d;%v\n", false),
		"decimal comma": straight("nm;W\n", "%d;%v\n", true),
		"tabs":          straight("nm\tW\n", "%d\t%v\n", true),
		"blanks":        straight("", " %d   %v\n", false),
		"quotes":        straight("", "\"%d\",\"%v\"\n", false),
		"line ends":     straight("\ufeffnm,power\r\n", "%d,%v\r\n", false),
		"comma at end":  straight("", "%d,%v,\n", false),
		"no last end":   strings.TrimRight(straight("", "%d,%v\n", false), "\n"),
	} {
		s, err := calibrate.ReadCSV(strings.NewReader(text), "t.csv")
		require.NoError(t, err, name)
		require.InDelta(t, 1.0, s[400-spectra.FirstNM], 1e-12, name)
		require.InDelta(t, 1.5, s[550-spectra.FirstNM], 1e-12, name)
		require.InDelta(t, 1+5./300, s[405-spectra.FirstNM], 1e-12, "%s: straight between its points", name)
		require.Zero(t, s[399-spectra.FirstNM], name)
		require.Zero(t, s[701-spectra.FirstNM], name)
	}
}

// Noise below 0 is darkness.
func TestReadCSVNoise(t *testing.T) {
	text := strings.Replace(straight("", "%d,%v\n", false), "410,1.0333333333333334", "410,-0.09", 1)
	s, err := calibrate.ReadCSV(strings.NewReader(text), "t.csv")
	require.NoError(t, err)
	require.Zero(t, s[410-spectra.FirstNM])
}

// Each fault says where it is and what to write.
func TestReadCSVProblems(t *testing.T) {
	good := straight("nm,power\n", "%d,%.2f\n", false)
	for name, row := range map[string]struct{ text, says string }{
		"empty":            {"", "t.csv:1:1: the file: it holds no spectrum"},
		"words":            {"nothing\nhere\n", "t.csv:1:1: the file: it holds no spectrum"},
		"quoted nothing":   {"400 1\n\"\"\n700 1\n", "it has one column where two are known"},
		"no number":        {strings.Replace(good, "410,1.03", "410,1.o3", 1), `t.csv:3:5: "1.o3" in column power: it is no number`},
		"hexadecimal":      {strings.Replace(good, "410,1.03", "410,0x1", 1), `t.csv:3:5: "0x1" in column power`},
		"not a number":     {strings.Replace(good, "410,1.03", "410,NaN", 1), `t.csv:3:5: "NaN" in column power`},
		"three columns":    {strings.Replace(good, "410,1.03", "410,1.03,1.04", 1), "t.csv:3:10: a row of the spectrum: it has 3 columns"},
		"one column":       {strings.Replace(good, "410,1.03", "410", 1), "t.csv:3:1: a row of the spectrum: it has one column"},
		"decimal comma":    {straight("", "%d,%.2f\n", true), "part columns by semicolons"},
		"twice":            {strings.Replace(good, "410,1.03", "400,1.03", 1), "t.csv:3:1: wavelength 400 nm: it follows 400 nm of line 2"},
		"falling":          {"700,1\n690,1\n680,2\n", "t.csv:2:1: wavelength 690 nm: it follows 700 nm of line 1"},
		"micrometres":      {"0.4,1\n0.5,1\n0.7,1\n", "0.4 micrometres are 400 nm"},
		"late":             {good[strings.Index(good, "440"):], "t.csv:1:1: the first wavelength, 440 nm: blue light below it would be lost"},
		"early":            {good[:strings.Index(good, "660")], "t.csv:27:1: the last wavelength, 650 nm: red light above it would be lost"},
		"coarse":           {strings.Replace(good, "520,1.40\n", "", 1), "t.csv:14:1: a step from 510 to 530 nm: an LED can be narrower"},
		"dark":             {"400,0\n" + strings.ReplaceAll(good[len("nm,power\n400,1.00\n"):], ",", ",-"), "no power above 0"},
		"far below 0":      {strings.Replace(good, "410,1.03", "410,-1.03", 1), "t.csv:3:1: the power -1.03 at 410 nm: power is 0 or more, and this is more than noise"},
		"larger than all":  {strings.Replace(good, "410,1.03", "410,1e300", 1), "t.csv:3:5: \"1e300\" in column power: it is larger than any power"},
		"larger than MiBs": {strings.Repeat("# x\n", 1<<19), "larger than 1 MiB"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := calibrate.ReadCSV(strings.NewReader(row.text), "t.csv")
			require.ErrorContains(t, err, row.says)
			var found table.Problems
			require.True(t, errors.As(err, &found))
			require.LessOrEqual(t, len(found), 20)
			for _, p := range found {
				require.NotEmpty(t, p.Mend)
			}
		})
	}
	_, err := calibrate.ReadCSV(iotest.ErrReader(errors.New("gone")), "t.csv")
	require.ErrorContains(t, err, `read spectrum "t.csv": gone`)
}

// FuzzReadCSV: what is read is a spectrum, comes out of its own writing the
// same, and what is refused has a place that exists.
func FuzzReadCSV(f *testing.F) {
	f.Add(straight("nm,power\n", "%d,%v\n", false))
	f.Add(straight("", "%d;%v\n", true))
	f.Add(straight("", "%d %v\n", false))
	f.Add("0.4,1\n0.5,1")
	f.Add("400,1,2\n\"410\",é\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := calibrate.ReadCSV(strings.NewReader(text), "t.csv")
		if err != nil {
			var found table.Problems
			require.True(t, errors.As(err, &found), "%v", err)
			lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
			for _, p := range found {
				require.LessOrEqual(t, p.Line, len(lines))
				require.LessOrEqual(t, p.Column, len([]rune(lines[p.Line-1]))+1, "%q", text)
			}
			return
		}
		require.Greater(t, s.Power(), 0.0)
		again, err := calibrate.ReadCSV(strings.NewReader(string(calibrate.AppendCSV(nil, s))), "t.csv")
		require.NoError(t, err)
		require.Equal(t, s, again)
	})
}
