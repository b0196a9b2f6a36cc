package main

import (
	"fmt"
	"image/color"
	"os"
	"path/filepath"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// The size of the picture, and the inks of it.
const (
	plotWidth  = 24 * vg.Centimeter
	plotHeight = 11 * vg.Centimeter
	plotDPI    = 150
)

var (
	ink   = color.Gray{Y: 0x20}
	faint = color.Gray{Y: 0xb0}
	mark  = color.RGBA{R: 0xb0, G: 0x3a, B: 0x10, A: 0xff}
)

// plotColour draws the spectrum of the mix beside the u'v' map with the lamp's
// reach, into a .svg or .png file.
func plotColour(path string, s *solvedColour, asked askedColour) error {
	spectrum, err := plotSpectrum(s, asked)
	if err != nil {
		return err
	}
	reach, err := plotReach(s, asked)
	if err != nil {
		return err
	}
	switch filepath.Ext(path) {
	case ".svg":
		c := vgsvg.New(plotWidth, plotHeight)
		drawBoth(draw.New(c), spectrum, reach)
		return writePlot(path, c)
	case ".png":
		c := vgimg.NewWith(vgimg.UseWH(plotWidth, plotHeight), vgimg.UseDPI(plotDPI))
		drawBoth(draw.New(c), spectrum, reach)
		return writePlot(path, vgimg.PngCanvas{Canvas: c})
	}
	return usageError{mendedError{fmt.Errorf("--plot %s: no such kind of picture", path), "end the name in .svg or .png"}}
}

func drawBoth(c draw.Canvas, left, right *plot.Plot) {
	tiles := draw.Tiles{Rows: 1, Cols: 2, PadX: vg.Centimeter, PadTop: vg.Millimeter, PadBottom: vg.Millimeter, PadLeft: vg.Millimeter, PadRight: 3 * vg.Millimeter}
	for i, p := range []*plot.Plot{left, right} {
		p.Draw(tiles.At(c, i, 0))
	}
}

func writePlot(path string, c vg.CanvasWriterTo) (err error) {
	file, err := os.Create(path)
	if err != nil {
		return mendedError{err, "name a file in a folder that can be written to"}
	}
	defer func() {
		if closeErr := file.Close(); err == nil {
			err = closeErr
		}
	}()
	_, err = c.WriteTo(file)
	return err
}

// plotSpectrum draws the mix, and each emitter's part of it faintly.
func plotSpectrum(s *solvedColour, asked askedColour) (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text = fmt.Sprintf("%s, %s: spectrum", s.unit.name(), asked.text)
	p.X.Label.Text = "wavelength, nm"
	p.Y.Label.Text = "power, share of its peak"
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 380, 780, 0, 1.05
	peak := 0.0
	for _, v := range s.spectrum {
		peak = max(peak, v)
	}
	if peak == 0 {
		return p, nil
	}
	for i, part := range s.unit.typ.EmitterSpectra(s.unit.mode) {
		if err := addLine(p, wavelengths(part.Scale(s.answer.Drives[i].Drive/peak)), faint, 1); err != nil {
			return nil, err
		}
	}
	return p, addLine(p, wavelengths(s.spectrum.Scale(1/peak)), ink, 1.5)
}

func wavelengths(s spectra.Spectrum) plotter.XYs {
	points := make(plotter.XYs, len(s))
	for i, v := range s {
		points[i] = plotter.XY{X: float64(spectra.FirstNM + i), Y: v}
	}
	return points
}

// plotReach draws the u'v' map: spectral locus, white locus, the lamp's gamut,
// what was asked and what was reached.
func plotReach(s *solvedColour, asked askedColour) (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text = "reach in CIE 1976 u'v'"
	p.X.Label.Text, p.Y.Label.Text = "u'", "v'"
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 0.65, 0, 0.62
	var gamut plotter.XYs
	for _, v := range s.cell.Gamut() {
		gamut = append(gamut, plotter.XY{X: v.U, Y: v.V})
	}
	if len(gamut) > 0 {
		gamut = append(gamut, gamut[0])
	}
	for _, line := range []struct {
		points plotter.XYs
		ink    color.Color
		width  float64
	}{{spectralLocus(), faint, 1}, {whiteLocus(), faint, 1}, {gamut, ink, 1.5}} {
		if err := addLine(p, line.points, line.ink, line.width); err != nil {
			return nil, err
		}
	}
	points := map[string]colour.XY{"asked": asked.xy}
	if s.light.Y > 0 {
		points["reached"] = s.light.XY()
	}
	return p, addMarks(p, points)
}

// addMarks adds a ring where the colour was asked and a dot where it was reached.
func addMarks(p *plot.Plot, points map[string]colour.XY) error {
	for name, shape := range map[string]draw.GlyphDrawer{"asked": draw.RingGlyph{}, "reached": draw.CircleGlyph{}} {
		at, ok := points[name]
		if !ok {
			continue
		}
		scatter, err := plotter.NewScatter(plotter.XYs{{X: at.UV().U, Y: at.UV().V}})
		if err != nil {
			return err
		}
		scatter.GlyphStyle = draw.GlyphStyle{Color: mark, Radius: vg.Points(4), Shape: shape}
		if name == "reached" {
			scatter.Radius = vg.Points(2)
		}
		p.Add(scatter)
		p.Legend.Add(name, scatter)
	}
	p.Legend.Left = false
	return nil
}

func addLine(p *plot.Plot, points plotter.XYs, ink color.Color, width float64) error {
	if len(points) == 0 {
		return nil
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return err
	}
	line.Color, line.Width = ink, vg.Points(width)
	p.Add(line)
	return nil
}

// spectralLocus is the edge of all colours, closed by the purple line.
func spectralLocus() plotter.XYs {
	const first, last = 400, 700
	var points plotter.XYs
	table := colour.Observer1931()
	for nm := first; nm <= last; nm++ {
		row := table[nm-spectra.FirstNM]
		uv := colour.XYZ{X: row[0], Y: row[1], Z: row[2]}.XY().UV()
		points = append(points, plotter.XY{X: uv.U, Y: uv.V})
	}
	return append(points, points[0])
}

// whiteLocus is the Planckian locus from 1500 K to 20 000 K.
func whiteLocus() plotter.XYs {
	var points plotter.XYs
	for mired := colour.Mired(667); mired >= 50; mired -= 10 {
		if xy, err := colour.Planckian(mired.Kelvin()); err == nil {
			points = append(points, plotter.XY{X: xy.UV().U, Y: xy.UV().V})
		}
	}
	return points
}
