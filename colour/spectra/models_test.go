package spectra_test

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// The values are those of the tests of the colour-science library 0.4.6 for
// Ohno (2005).
func TestOhnoEveryRow(t *testing.T) {
	three := func(blue, green, red float64) spectra.Spectrum {
		return spectra.Ohno(457, 20).Scale(blue).Add(spectra.Ohno(530, 30).Scale(green)).Add(spectra.Ohno(615, 20).Scale(red))
	}
	cases := map[string]spectra.Spectrum{
		"single p=555 dw=25": spectra.Ohno(555, 25),
		"multi 457/530/615 dw 20/30/20 ratios 0.731/1/1.660": three(0.731, 1, 1.660),
		"multi 457/530/615 dw 20/30/20 equal power":          three(1, 1, 1),
	}
	_, rows := readTable(t, "led_ohno2005_checks.csv")
	for _, r := range rows {
		s, known := cases[r["case"]]
		require.True(t, known, r["case"])
		got := s[int(r.Num(t, "wavelength_nm"))-spectra.FirstNM]
		require.InDelta(t, r.Num(t, "value"), got, 1e-12, r["case"])
	}
}

func TestOhnoOfNoWidthIsDark(t *testing.T) {
	for _, width := range []float64{0, -1, math.NaN()} {
		require.Equal(t, spectra.Spectrum{}, spectra.Ohno(555, width))
	}
}

// synthetic builds the invented emitters of led_emitters_synthetic.csv by the
// recipe in its head.
func synthetic() map[string]spectra.Spectrum {
	broad := func(peak, sigma float64) spectra.Spectrum {
		var s spectra.Spectrum
		for i := range s {
			d := (float64(spectra.FirstNM+i) - peak) / sigma
			s[i] = math.Exp(-d * d / 2)
		}
		return s
	}
	return map[string]spectra.Spectrum{
		"deep_red": spectra.Ohno(660, 20), "red": spectra.Ohno(630, 20), "amber": spectra.Ohno(595, 16),
		"lime_pc": spectra.Ohno(555, 85), "green": spectra.Ohno(525, 35), "cyan": spectra.Ohno(500, 30),
		"blue": spectra.Ohno(455, 22), "indigo": spectra.Ohno(445, 20),
		"white_warm": spectra.Ohno(452, 20).Scale(0.50).Add(broad(605, 65)),
		"white_cool": spectra.Ohno(450, 20).Scale(1.84).Add(broad(566, 62)),
	}
}

// The numbers of invented emitters, by another implementation at 1 nm.
func TestSyntheticEmittersEveryRow(t *testing.T) {
	emitters, tables := synthetic(), readSpectra(t, "led_emitters_synthetic_5nm.csv")
	_, rows := readTable(t, "led_emitters_synthetic.csv")
	require.Len(t, rows, len(emitters))
	for _, r := range rows {
		name := r["name"]
		s, known := emitters[name]
		require.True(t, known, name)
		for i, nm := range tables[name].nm {
			want := tables[name].power[i] // to 6 digits, tiny ones as 0
			require.InDelta(t, want, s[int(nm)-spectra.FirstNM], 6e-6*want+1e-9, "%s at %v nm", name, nm)
		}

		sum := s.XYZ().Scale(1.0 / 683)
		require.InDelta(t, r.Num(t, "X"), sum.X, 6e-7, name)
		require.InDelta(t, r.Num(t, "Y"), sum.Y, 6e-7, name)
		require.InDelta(t, r.Num(t, "Z"), sum.Z, 6e-7, name)
		p := sum.XY()
		requireXY(t, r.Num(t, "x"), r.Num(t, "y"), p, 6e-7, name)
		requireXY(t, r.Num(t, "x_5nm"), r.Num(t, "y_5nm"), tables[name].sampled().XYZ().XY(), 6e-7, name)
		require.InDelta(t, r.Num(t, "up"), p.UV().U, 6e-7, name)
		require.InDelta(t, r.Num(t, "vp"), p.UV().V, 6e-7, name)
		require.InDelta(t, r.Num(t, "LER_lm_W"), s.Efficacy(), 0.006, name)

		d := p.Dominant(colour.XY{X: 1.0 / 3, Y: 1.0 / 3})
		require.InDelta(t, r.Num(t, "lambda_d_E"), d.NM, 0.006, name)
		require.InDelta(t, r.Num(t, "Pe"), d.Purity, 6e-5, name)
		if r.Has("CCT") {
			c, err := p.CCT()
			require.NoError(t, err)
			require.InDelta(t, r.Num(t, "CCT"), float64(c.T), 0.06, name)
			require.InDelta(t, r.Num(t, "Duv"), float64(c.Duv), 6e-6, name)
		}
	}
}

// The polynomial and the spectrum rebuilt from it, by another implementation
// (CIE 015:2018 components, factors not rounded, 1 nm).
func TestDaylightSPDEveryRow(t *testing.T) {
	_, rows := readTable(t, "cct_daylight_locus.csv")
	for _, r := range rows {
		s, err := spectra.DaylightSPD(colour.Kelvin(r.Num(t, "T_nominal_K")))
		require.NoError(t, err)
		require.InDelta(t, 100, s[560-spectra.FirstNM], 1e-9)
		requireXY(t, r.Num(t, "x_spd"), r.Num(t, "y_spd"), s.XYZ().XY(), 6e-7, r["T_nominal_K"])
	}
	_, err := spectra.DaylightSPD(3999)
	require.Error(t, err)
}

// ISO/CIE 11664-2:2022 and CIE 015:2018 Table 5. CIE scales the nominal
// temperatures by 1.4388/1.4380 and rounds the factors M1, M2, which ours are
// not: 0.016 of 100 is what that leaves.
func TestDaylightSPDAgainstTheTables(t *testing.T) {
	tables := readSpectra(t, "illuminants_a_c_d_5nm.csv")
	name := regexp.MustCompile(`^D(\d\d)$`)
	seen := 0
	for illuminant, table := range tables {
		match := name.FindStringSubmatch(illuminant)
		if match == nil {
			continue
		}
		seen++
		hundreds, err := strconv.ParseFloat(match[1], 64)
		require.NoError(t, err)
		s, err := spectra.DaylightSPD(colour.Kelvin(hundreds * 100 * 1.4388 / 1.4380))
		require.NoError(t, err)
		for i, nm := range table.nm {
			if nm >= spectra.FirstNM {
				require.InDelta(t, table.power[i], s[int(nm)-spectra.FirstNM], 0.0165, "%s at %v nm", illuminant, nm)
			}
		}
	}
	require.Equal(t, 4, seen)
}

// ISO/CIE 11664-2:2022: illuminant A is Planck's law at 2848 K with
// c2 = 1.435e-2, which is 2848*1.4388/1.4350 K with ours.
func TestBlackbodyIsIlluminantA(t *testing.T) {
	s, err := spectra.Blackbody(2848 * 1.4388 / 1.4350)
	require.NoError(t, err)
	table := readSpectra(t, "illuminants_a_c_d_5nm.csv")["A"]
	for i, nm := range table.nm {
		if nm >= spectra.FirstNM {
			require.InEpsilon(t, table.power[i], 100*s[int(nm)-spectra.FirstNM], 5e-6, "%v nm", nm)
		}
	}
	requireXY(t, 0.44758, 0.40745, s.XYZ().XY(), 2.2e-5, "CIE 15:2004 Table T.3")
}

// The locus in colour and the spectra here sum the same law, apart in code.
func TestBlackbodyLiesOnThePlanckianLocus(t *testing.T) {
	for _, kelvin := range []colour.Kelvin{1000, 2000, 3200, 5600, 10000, 1e5, 1e6} {
		s, err := spectra.Blackbody(kelvin)
		require.NoError(t, err)
		p, err := colour.Planckian(kelvin)
		require.NoError(t, err)
		requireXY(t, p.X, p.Y, s.XYZ().XY(), 1e-9, "locus")
		require.InDelta(t, 1, s[560-spectra.FirstNM], 1e-15)
	}
	_, err := spectra.Blackbody(999)
	require.Error(t, err)
}
