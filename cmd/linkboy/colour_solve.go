package main

import (
	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/difference"
	"linkboy/colour/emitters"
	"linkboy/colour/quality"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

// solvedColour is what a lamp makes of a colour, read back from channel bytes.
type solvedColour struct {
	unit     unit
	cell     *emitters.Cell
	light    colour.XYZ       // of one cell
	spectrum spectra.Spectrum // of one cell, scaled to its lumens
	seen     camera.Response  // of one cell
	answer   *colourAnswer
}

// solve solves for cell 1 of the lamp and reads the answer back from the
// channel bytes, as everything on set is.
func solve(u unit, asked askedColour) (*solvedColour, error) {
	mixer, err := recipe.New(u.typ, u.mode, asked.policy, asked.reference)
	if err != nil {
		return nil, err
	}
	cell, solution := mixer.Cell(), mixer.Solve(asked.xy, asked.level, asked.balance)

	drives := make([]emitters.Drives, u.mode.Cells)
	for i := range drives {
		drives[i] = solution.Drives
	}
	slots := make([]byte, u.mode.Footprint)
	u.mode.Encode(u.typ, drives, nil, slots)
	u.mode.Decode(u.typ, slots, drives)

	s := &solvedColour{unit: u, cell: cell, light: cell.Light(drives[0]), spectrum: u.typ.Spectrum(u.mode, drives[0])}
	s.seen = asked.view.Response(s.spectrum)
	s.answer = s.describe(asked, solution, slots)
	return s, nil
}

// describe puts the solution into the shape that is printed.
func (s *solvedColour) describe(asked askedColour, solution emitters.Solution, slots []byte) *colourAnswer {
	a := &colourAnswer{
		Lamp: s.unit.name(), Mode: s.unit.mode.Name, Policy: string(asked.policy),
		Asked: pointOf(solution.Asked), Level: float64(asked.level),
		Lumens:      s.light.Y * float64(s.unit.mode.Cells),
		Reach:       cornersOf(s.cell.Gamut()),
		Calibration: calibrationOf(s.unit.kit),
	}
	for i, e := range s.unit.typ.Emitters {
		a.Drives = append(a.Drives, driveJSON{e.Name, solution.Drives[i]})
	}
	for _, ch := range s.unit.mode.Channels {
		value := int(slots[ch.Offset])
		if ch.Bits == 16 {
			value = value<<8 | int(slots[ch.Offset+1])
		}
		a.Channels = append(a.Channels, channelJSON{ch.Offset, ch.Name, ch.Bits, value})
	}
	if !(s.light.Y > 0) {
		return a
	}
	reached := s.light.XY()
	if asked.observer != spectra.CIE1931 {
		seen := pointOf(asked.observer.XYZ(s.spectrum).XY())
		a.Observer = &observerJSON{asked.observer.String(), seen}
	}
	a.Reached.pointJSON = pointOf(reached)
	a.Reached.CCT, a.Reached.Duv = whiteOf(reached)
	a.DeltaUV = asked.xy.UV().Distance(reached.UV())
	a.Delta = differenceOf(asked, reached)
	a.Quality = qualityOf(s.spectrum)
	line := asked.view.Line(s.seen)
	a.Camera = &line
	a.Clip = &clipJSON{clipsOverKey(line, asked.over), asked.over}
	return a
}

// The condition under which colour differences are told: the two lights fall on
// a white patch in a dim room that is adapted to the camera's balance. The
// patch has half the luminance of the adapting white.
const (
	patchShare   = 0.5
	adaptingCdM2 = 20.0
	greyShare    = 0.2
)

// differenceOf says how far the reached colour looks from the asked one.
func differenceOf(asked askedColour, reached colour.XY) *deltaJSON {
	white := asked.balance.XYZ(1)
	a, b := asked.xy.XYZ(patchShare), reached.XYZ(patchShare)
	eye, err := difference.NewEye(difference.Viewing{White: white, Adapting: adaptingCdM2, Background: greyShare, Surround: difference.Dim})
	if err != nil {
		return nil
	}
	return &deltaJSON{
		DE2000: difference.DE2000(difference.LabOf(a, white), difference.LabOf(b, white)),
		CAM16:  difference.UCSDistance(eye.See(a).UCS(), eye.See(b).UCS()),
	}
}

// qualityOf gives the figures of a white; nil for a light that is too far from one.
func qualityOf(s spectra.Spectrum) *qualityJSON {
	f, err := quality.Measure(s)
	if err != nil {
		return nil
	}
	q := &qualityJSON{Efficacy: f.Efficacy, Dominant: f.Dominant.NM, Purity: f.Dominant.Purity}
	if f.CRI != nil {
		q.Ra, q.R9 = &f.CRI.Ra, &f.CRI.R[8]
	}
	if f.TM30 != nil {
		q.Rf, q.Rg = &f.TM30.Rf, &f.TM30.Rg
	}
	if f.SSI != nil {
		q.SSI, q.SSIReference = &f.SSI.Value, f.SSI.Reference
	}
	if f.TLCI != nil {
		q.TLCI = &f.TLCI.Q
	}
	return q
}
