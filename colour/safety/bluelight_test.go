package safety_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
	"linkboy/colour/reference"
	"linkboy/colour/safety"
	"linkboy/colour/spectra"
)

// bell is an emitter as a Gaussian, by its peak and its width at half height.
func bell(peak, width float64) spectra.Spectrum {
	var s spectra.Spectrum
	for i := range s {
		d := (float64(spectra.FirstNM+i) - peak) / width
		s[i] = math.Exp(-4 * math.Ln2 * d * d)
	}
	return s
}

// led reads a CIE LED illuminant.
func led(t testing.TB, name string) spectra.Spectrum {
	t.Helper()
	var nm, power []float64
	_, rows := reference.Read(t, "illuminants_led_5nm.csv")
	for _, row := range rows {
		nm, power = append(nm, row.Num(t, "wavelength_nm")), append(power, row.Num(t, name))
	}
	s, err := spectra.FromTable(nm, power)
	require.NoError(t, err)
	return s
}

// TestExemptLuminance checks the luminance that just reaches RG0's limit of 100
// W/(m2 sr), computed independently from CIE spectra and Gaussians.
func TestExemptLuminance(t *testing.T) {
	for _, row := range []struct {
		name  string
		light spectra.Spectrum
		want  float64
	}{
		{"white of 6600 K", led(t, "LED-B5"), 113000},
		{"white of 2700 K", led(t, "LED-B1"), 380000},
		{"blue of 465 nm", bell(465, 23), 7700},
		{"royal blue of 450 nm", bell(450, 20), 3000},
	} {
		most := 100 / safety.BlueLight(row.light, 1)
		require.InDelta(t, row.want, most, row.want*0.02, row.name)
		require.Equal(t, safety.Exempt, safety.Group(safety.BlueLight(row.light, photometry.Luminance(0.99*most))), row.name)
		require.Equal(t, safety.LowRisk, safety.Group(safety.BlueLight(row.light, photometry.Luminance(1.01*most))), row.name)
		require.InDelta(t, safety.BlueLight(row.light, 7), safety.BlueLight(row.light.Scale(3), 7), 1e-9, "any unit of power")
	}
	// A diffused white tube of 11 070 cd/m2, and its blue emitters alone.
	require.Less(t, safety.BlueLight(led(t, "LED-B5"), 11070), 11.0)
	require.Equal(t, safety.Exempt, safety.Group(safety.BlueLight(bell(465, 23), 630)))
}

// TestRiskGroups: the limits and words of IEC 62471, by summaries; the last
// limit from memory.
func TestRiskGroups(t *testing.T) {
	for radiance, want := range map[float64]string{
		0: "RG0 exempt", 100: "RG0 exempt", 101: "RG1 low risk", 10000: "RG1 low risk", 10001: "RG2 moderate risk",
		4e6: "RG2 moderate risk", 4.1e6: "RG3 high risk",
	} {
		require.Equal(t, want, safety.Group(radiance).String())
	}
	require.Equal(t, "RG3 high risk", safety.RiskGroup(9).String())
}
