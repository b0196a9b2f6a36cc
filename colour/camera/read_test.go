package camera_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/spectra"
	"linkboy/colour/table"
)

func read(text string) (*camera.Sensor, error) {
	return camera.ReadCSV(strings.NewReader(text), "own.csv")
}

// TestReadCSVForms: one sensor, written in the ways people's files come in.
func TestReadCSVForms(t *testing.T) {
	want, err := read("400,0.1,0.2,0.3\n550,0.5,1,0.25\n700,0.25,0.5,0\n")
	require.NoError(t, err)
	require.Equal(t, "own.csv", want.Name)
	require.Equal(t, 0.0, want.R[399-spectra.FirstNM], "dark outside")
	require.Equal(t, 0.1, want.R[400-spectra.FirstNM])
	require.InDelta(t, 0.3, want.R[475-spectra.FirstNM], 1e-15, "straight between")
	require.InDelta(t, 0.75, want.G[625-spectra.FirstNM], 1e-15)
	require.Equal(t, 0.0, want.G[701-spectra.FirstNM])

	for name, text := range map[string]string{
		"head":                  "nm,r,g,b\n400,0.1,0.2,0.3\n550,0.5,1,0.25\n700,0.25,0.5,0\n",
		"head in another order": "B, G, R, Wavelength\n0.3,0.2,0.1,400\n0.25,1,0.5,550\n0,0.5,0.25,700\n",
		"comments, blank lines": "# of the camera\n\n  # lens on\n400,0.1,0.2,0.3\n# middle\n550,0.5,1,0.25\n\n700,0.25,0.5,0",
		"spreadsheet":           "\ufeff\"nm\",\"r\",\"g\",\"b\"\r\n\"400\",\"0.1\",\"0.2\",\"0.3\"\r\n550,0.5,1,0.25\r\n700,0.25,0.5,0\r\n",
		"blanks, exponents":     " 4e2 , 1E-1, +0.2 ,.3\n550.0,5e-1,1.,0.25\n700,0.25,0.5,-0\n",
		"an uneven step":        "400,0.1,0.2,0.3\n475,0.3,0.6,0.275\n550,0.5,1,0.25\n700,0.25,0.5,0\n",
		"past the grid":         "200,0,0,0\n399.9999,0,0,0\n400,0.1,0.2,0.3\n550,0.5,1,0.25\n700,0.25,0.5,0\n700.0001,0,0,0\n2500,0,0,0\n",
	} {
		got, err := read(text)
		require.NoError(t, err, name)
		requireCurves(t, want, got, 1e-15, name)
	}
}

// requireCurves requires two sensors to have the same curves.
func requireCurves(t testing.TB, want, got *camera.Sensor, within float64, name string) {
	t.Helper()
	for i := range want.R {
		nm := spectra.FirstNM + i
		for c, pair := range [3][2]float64{{want.R[i], got.R[i]}, {want.G[i], got.G[i]}, {want.B[i], got.B[i]}} {
			require.LessOrEqual(t, math.Abs(pair[0]-pair[1]), within, "%s: channel %v at %d nm: %v, %v", name, camera.Channel(c), nm, pair[0], pair[1])
		}
	}
}

// good are two rows that make a whole table.
const good = "400,1,1,1\n700,1,1,1\n"

// TestReadCSVProblems: each fault is named with its line and column, why it is
// one, and the mend.
func TestReadCSVProblems(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", `own.csv:1:1: the file: it holds no sensitivities; give a line for each wavelength: nm,r,g,b`},
		{"comments alone", "# nm,r,g,b\n", `own.csv:1:1: the file: it holds no sensitivities; give a line for each wavelength: nm,r,g,b`},
		{"a head alone", "nm,r,g,b\n", `own.csv:1:1: the table: it has fewer than two wavelengths; give a line for each wavelength: nm,r,g,b`},
		{"one row", "# a\n400,1,1,1\n", `own.csv:2:1: the table: it has fewer than two wavelengths; give a line for each wavelength: nm,r,g,b`},
		{"an unknown column", "nm,r,g,ir\n" + good, `own.csv:1:8: column "ir": it is none of nm, r, g, b; name the columns nm,r,g,b and leave others out`},
		{"a column twice", "nm,r,g,red\n" + good, `own.csv:1:8: column "red": it is there twice; name the columns nm,r,g,b, each once`},
		{"a head of five", "nm,r,g,b,ir\n" + good, `own.csv:1:10: the head: it has 5 fields; give four: nm,r,g,b`},
		{"a row of three", "nm,r,g,b\n400,1,1\n" + good, `own.csv:2:7: a row of sensitivities: it ends after 3 of its fields; give four: nm,r,g,b`},
		{"a row of five", "300,1,1,1, 1\n" + good, `own.csv:1:12: a row of sensitivities: it has 5 fields; give four: nm,r,g,b`},
		{"a decimal comma", "400,0,1,0,2,0,3\n" + good, `own.csv:1:11: a row of sensitivities: it has 7 fields; give four: nm,r,g,b`},
		{"semicolons", "nm;r;g;b\n400;1;1;1\n", `own.csv:1:3: a row of sensitivities: its fields are not separated by commas; put commas between the columns and points in the numbers`},
		{"tabs", good + "é\t1\t1\t1\n", `own.csv:3:2: a row of sensitivities: its fields are not separated by commas; put commas between the columns and points in the numbers`},
		{"a word", "300,1, much,1\n" + good, `own.csv:1:8: "much" in column g: it is no number; write a plain number like 0.25`},
		{"an empty field", "300,1,,1\n" + good, `own.csv:1:7: "" in column g: it is no number; write a plain number like 0.25`},
		{"a later head", good + "nm,r,g,b\n", `own.csv:3:1: "nm" in column nm: it is no number; write a plain number like 0.25
own.csv:3:4: "r" in column r: it is no number; write a plain number like 0.25
own.csv:3:6: "g" in column g: it is no number; write a plain number like 0.25
own.csv:3:8: "b" in column b: it is no number; write a plain number like 0.25`},
		{"no finite number", "300,Inf,1e999,NaN\n" + good, `own.csv:1:5: "Inf" in column r: it is no number; write a plain number like 0.25
own.csv:1:9: "1e999" in column g: it is no number; write a plain number like 0.25
own.csv:1:15: "NaN" in column b: it is no number; write a plain number like 0.25`},
		{"below nothing", "300,1,1,-0.001\n" + good, `own.csv:1:9: "-0.001" in column b: a sensitivity cannot be below 0; write 0 for what noise put there`},
		{"past all sense", "300,1e10,1,1\n" + good, `own.csv:1:5: "1e10" in column r: it is larger than any sensitivity; write sensitivities relative to a peak of 1, or in per cent`},
		{"micrometres", "0.4,1,1,1\n", `own.csv:1:1: "0.4" in column nm: it is no wavelength in nm of light; write wavelengths in nm, like 380 to 780; 0.4 micrometres are 400 nm`},
		{"wave numbers", "25000,1,1,1\n", `own.csv:1:1: "25000" in column nm: it is no wavelength in nm of light; write wavelengths in nm, like 380 to 780`},
		{"falling", good + "690,1,1,1\n", `own.csv:3:1: wavelength 690 nm: it follows 700 nm of line 2; list each wavelength once, in rising order`},
		{"twice", "b,nm,r,g\n1,400,1,1\n1, 400,1,1\n1,700,1,1\n", `own.csv:3:4: wavelength 400 nm: it follows 400 nm of line 2; list each wavelength once, in rising order`},
		{"no blue end", "nm,r,g,b\n450,1,1,1\n700,1,1,1\n", `own.csv:2:1: the first wavelength, 450 nm: the camera would be blind to the blue of lamps below it; begin at 430 nm or less, best at 380`},
		{"no red end", "400,1,1,1\n650,1,1,1\n", `own.csv:2:1: the last wavelength, 650 nm: the camera would be blind to the red of lamps above it; go on to 660 nm or more, best to 780`},
		{"a blind channel", "400,1,0,1\n700,1,0,1\n", `own.csv:1:7: column g: it has no sensitivity in it; give each channel's sensitivities, relative to a peak of 1`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := read(c.text)
			require.Nil(t, s)
			var problems table.Problems
			require.ErrorAs(t, err, &problems)
			require.Equal(t, c.want, err.Error())
		})
	}
}

// TestReadCSVTellsAllAtOnce, but not without end.
func TestReadCSVTellsAllAtOnce(t *testing.T) {
	_, err := read("nm,r,g,b\n400,1,x,1\n500,1,1\n600,-1,1,1\n")
	var problems table.Problems
	require.ErrorAs(t, err, &problems)
	require.Len(t, problems, 3)
	require.Equal(t, []int{2, 3, 4}, []int{problems[0].Line, problems[1].Line, problems[2].Line})

	_, err = read(strings.Repeat("x,y,z\n", 1000))
	require.ErrorAs(t, err, &problems)
	require.Len(t, problems, 20)

	_, err = read(strings.Repeat("#\n", 1<<20))
	require.ErrorContains(t, err, "own.csv:1:1: the file: it is larger than 1 MiB")
}

// TestReadCSVPassesOnFaultsOfReading: they are no fault of the table.
func TestReadCSVPassesOnFaultsOfReading(t *testing.T) {
	broken := errors.New("the card is gone")
	_, err := camera.ReadCSV(iotest.ErrReader(broken), "own.csv")
	require.ErrorIs(t, err, broken)
	var problems table.Problems
	require.False(t, errors.As(err, &problems))
}

// TestSensors: what comes with linkboy is whole, named by kind, and survives
// being written and read again.
func TestSensors(t *testing.T) {
	var names []string
	for _, s := range camera.Sensors() {
		names = append(names, s.Name)
		require.NotEmpty(t, s.Source, s.Name)
		again, err := camera.ReadCSV(strings.NewReader(string(s.AppendCSV(nil))), s.Name)
		require.NoError(t, err)
		requireCurves(t, s, again, 1e-15, s.Name)
		found, err := camera.SensorByName(s.Name)
		require.NoError(t, err)
		require.Same(t, s, found)
	}
	require.Equal(t, []string{"bayer-a", "bayer-b", "layered-a", "three-chip"}, names)
	require.Contains(t, names, camera.DefaultSensor)

	_, err := camera.SensorByName("bayer-z")
	require.ErrorContains(t, err, `camera "bayer-z"`)
	require.ErrorContains(t, err, "bayer-a, bayer-b, layered-a, three-chip")
}

// TestSensorTables checks rows of the tables against their sources' prints.
func TestSensorTables(t *testing.T) {
	at := func(name string, nm int) [3]float64 {
		s, i := sensor(t, name), nm-spectra.FirstNM
		return [3]float64{s.R[i], s.G[i], s.B[i]}
	}
	require.Equal(t, [3]float64{0.0402285, 0.254244, 1}, at("bayer-a", 460), "Darrodi et al. 2015")
	require.InDeltaSlice(t, []float64{0.0109, 0.1267, 0.8515}, slice(at("bayer-b", 460)), 1e-12, "the Academy's open data set")
	require.InDeltaSlice(t, []float64{0.00731108, 0.409095, 0.94538}, slice(at("layered-a", 460)), 1e-12, "Darrodi et al. 2015")
	require.InDeltaSlice(t, []float64{0.00082, 0.001777, 0.075694}, slice(at("three-chip", 460)), 1e-12, "EBU Tech 3355 Appendix 5")

	// Each column of EBU Tech 3355's camera sums to 1 over its 5 nm steps.
	s := sensor(t, "three-chip")
	for c, curve := range []spectra.Spectrum{s.R, s.G, s.B} {
		var sum float64
		for i := 0; i < spectra.Samples; i += 5 {
			sum += curve[i]
		}
		require.InDelta(t, 1, sum, 1e-4, camera.Channel(c))
	}
}

func slice(v [3]float64) []float64 { return v[:] }

// FuzzReadCSV: whatever is read makes a sensor that can be balanced to any
// white of a show and is neutral there, and that survives being written and
// read again; whatever is refused is refused with a place and a mend.
func FuzzReadCSV(f *testing.F) {
	f.Add(good)
	f.Add("nm,r,g,b\n400,0.1,0.2,0.3\n550,0.5,1,0.25\n700,0.25,0.5,0\n")
	f.Add("b,g,r,nm\r\n# x\r\n1e-9,1e9,0,380.5\n0,1,1,800")
	f.Add("\ufeff\"nm\",\"r\",\"g\",\"b\"\n100,0,0,0\n4999,1,1,1\n")
	f.Add("400;0,1;0,2;0,3\n")
	f.Add(fmt.Sprintf("400,%v,1,1\n700,%v,1,1", math.SmallestNonzeroFloat64, math.MaxFloat64))
	white, err := spectra.Blackbody(4300)
	if err != nil {
		f.Fatal(err)
	}
	y := white.XYZ().Y
	f.Fuzz(func(t *testing.T, text string) {
		s, err := read(text)
		if err != nil {
			var problems table.Problems
			require.ErrorAs(t, err, &problems)
			for _, p := range problems {
				require.Positive(t, p.Line)
				require.Positive(t, p.Column)
				require.NotEmpty(t, p.Mend)
			}
			return
		}
		v, err := s.Balance(white)
		require.NoError(t, err)
		requireSame(t, camera.Response{RGB: camera.RGB{R: y, G: y, B: y}, Y: y}, v.Response(white), 1e-9, text)

		again, err := camera.ReadCSV(strings.NewReader(string(s.AppendCSV(nil))), s.Name)
		require.NoError(t, err)
		// A point of a table may come back a rounding of its neighbour away.
		var peak float64
		for i := range s.R {
			peak = max(peak, s.R[i], s.G[i], s.B[i])
		}
		requireCurves(t, s, again, 1e-15*peak, text)
	})
}

// TestTablesNameTheirSource: every embedded table says where it came from.
func TestTablesNameTheirSource(t *testing.T) {
	for _, s := range camera.Sensors() {
		text, err := os.ReadFile("tables/" + s.Name + ".csv")
		require.NoError(t, err)
		require.Contains(t, string(text), "\n# Source: ", s.Name)
	}
}
