package main

import (
	"fmt"
	"image/color"
	"io"
	"path/filepath"
	"slices"

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
	// common is the shade of what several lamps can show.
	common = color.Gray{Y: 0xe8}
	mark   = color.RGBA{R: 0xb0, G: 0x3a, B: 0x10, A: 0xff}
	// lampInks part lamps in a comparison, by hue and by darkness, also for
	// colour-blind eyes (M. Okabe and K. Ito, Color Universal Design, 2008).
	lampInks = []color.Color{
		ink, color.RGBA{R: 0x00, G: 0x72, B: 0xb2, A: 0xff}, color.RGBA{R: 0xe6, G: 0x9f, B: 0x00, A: 0xff},
		color.RGBA{R: 0x00, G: 0x9e, B: 0x73, A: 0xff}, color.RGBA{R: 0xcc, G: 0x79, B: 0xa7, A: 0xff},
	}
)

// plotColour draws the spectra of mixes beside the u'v' map with the reaches of
// their lamps, into a .svg or .png file.
func plotColour(path string, all []*solvedColour, asked askedColour) error {
	spectrum, err := plotSpectra(all, asked)
	if err != nil {
		return err
	}
	reach, err := plotReach(all, asked)
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

func writePlot(path string, c vg.CanvasWriterTo) error {
	return writeFile(path, func(w io.Writer) error {
		_, err := c.WriteTo(w)
		return err
	})
}

// plotSpectra draws the mixes, each to its own peak; of a single one the
// emitters' parts too, faintly.
func plotSpectra(all []*solvedColour, asked askedColour) (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text = asked.text + ": spectra"
	p.X.Label.Text = "wavelength, nm"
	p.Y.Label.Text = "power, share of its peak"
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 380, 780, 0, 1.05
	if len(all) == 1 {
		p.Title.Text = fmt.Sprintf("%s, %s: spectrum", all[0].unit.name(), asked.text)
		if err := addParts(p, all[0]); err != nil {
			return nil, err
		}
	}
	for i, s := range all {
		if peak := slices.Max(s.spectrum[:]); peak > 0 {
			if err := addLine(p, wavelengths(s.spectrum.Scale(1/peak)), lampInks[i%len(lampInks)], lineWidth(i, len(all))); err != nil {
				return nil, err
			}
		}
	}
	return p, nil
}

// addParts adds what each emitter gives of a mix.
func addParts(p *plot.Plot, s *solvedColour) error {
	peak := slices.Max(s.spectrum[:])
	if !(peak > 0) {
		return nil
	}
	for i, part := range s.unit.typ.EmitterSpectra(s.unit.mode) {
		if err := addLine(p, wavelengths(part.Scale(s.answer.Drives[i].Drive/peak)), faint, 1); err != nil {
			return err
		}
	}
	return nil
}

func wavelengths(s spectra.Spectrum) plotter.XYs {
	points := make(plotter.XYs, len(s))
	for i, v := range s {
		points[i] = plotter.XY{X: float64(spectra.FirstNM + i), Y: v}
	}
	return points
}

// plotReach draws the u'v' map: spectral locus, white locus, what each lamp can
// show, what was asked and what was reached.
func plotReach(all []*solvedColour, asked askedColour) (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text = "reach in CIE 1976 u'v'"
	p.X.Label.Text, p.Y.Label.Text = "u'", "v'"
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 0.65, 0, 0.62
	if len(all) > 1 {
		if err := addCommon(p, all); err != nil {
			return nil, err
		}
	}
	for _, locus := range []plotter.XYs{spectralLocus(), whiteLocus()} {
		if err := addLine(p, locus, faint, 1); err != nil {
			return nil, err
		}
	}
	points := map[string][]colour.XY{"asked": {asked.xy}}
	for i, s := range all {
		outline, err := addLoop(p, s.cell.Gamut(), lampInks[i%len(lampInks)], lineWidth(i, len(all)))
		if err != nil {
			return nil, err
		}
		if len(all) > 1 {
			p.Legend.Add(s.unit.name(), outline)
		}
		if s.light.Y > 0 {
			points["reached"] = append(points["reached"], s.light.XY())
		}
	}
	return p, addMarks(p, points)
}

// lineWidth is that of line i of n: the later the thinner, so that one below
// another is seen.
func lineWidth(i, n int) float64 { return 1.5 + float64(n-1-i) }

// addLoop adds a closed line through corners.
func addLoop(p *plot.Plot, corners []colour.UV, ink color.Color, width float64) (*plotter.Line, error) {
	line, err := plotter.NewLine(loop(corners))
	if err != nil {
		return nil, err
	}
	line.Color, line.Width = ink, vg.Points(width)
	p.Add(line)
	return line, nil
}

func loop(corners []colour.UV) plotter.XYs {
	points := make(plotter.XYs, len(corners), len(corners)+1)
	for i, v := range corners {
		points[i] = plotter.XY{X: v.U, Y: v.V}
	}
	return append(points, points[0])
}

// addCommon shades what all lamps can show.
func addCommon(p *plot.Plot, all []*solvedColour) error {
	group, err := groupOf(all)
	if err != nil || len(group.Reach().Corners()) < 3 {
		return err
	}
	shade, err := plotter.NewPolygon(loop(group.Reach().Corners()))
	if err != nil {
		return err
	}
	shade.Color, shade.Width = common, 0
	p.Add(shade)
	p.Legend.Add("common", shade)
	return nil
}

// addMarks adds a ring where the colour was asked and dots where it was reached.
func addMarks(p *plot.Plot, points map[string][]colour.XY) error {
	for _, m := range []struct {
		name   string
		shape  draw.GlyphDrawer
		radius vg.Length
	}{{"asked", draw.RingGlyph{}, 4}, {"reached", draw.CircleGlyph{}, 2}} {
		var at plotter.XYs
		for _, xy := range points[m.name] {
			at = append(at, plotter.XY{X: xy.UV().U, Y: xy.UV().V})
		}
		if len(at) == 0 {
			continue
		}
		scatter, err := plotter.NewScatter(at)
		if err != nil {
			return err
		}
		scatter.GlyphStyle = draw.GlyphStyle{Color: mark, Radius: vg.Points(float64(m.radius)), Shape: m.shape}
		p.Add(scatter)
		p.Legend.Add(m.name, scatter)
	}
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
