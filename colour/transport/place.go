package transport

import (
	"errors"
	"fmt"

	"linkboy/colour/solid"
)

// Finish is the diffuse reflectance of a surface for red, green and blue, 0..1.
type Finish struct{ R, G, B float64 }

// Grey is the finish of one reflectance for all.
func Grey(reflectance float64) Finish { return Finish{reflectance, reflectance, reflectance} }

// channel returns the reflectance for channel 0, 1 or 2.
func (f Finish) channel(i int) float64 { return [3]float64{f.R, f.G, f.B}[i] }

func (f Finish) valid() bool {
	for i := range 3 {
		if v := f.channel(i); !(v >= 0 && v <= 1) {
			return false
		}
	}
	return true
}

// Piece is a surface of the place. Other is the index of its other side, when
// it is one side of a thin thing, else -1.
type Piece struct {
	Surface solid.Surface
	Finish  Finish
	Other   int
}

// Place is what light travels in.
type Place struct {
	Pieces  []Piece
	Sources []Source
}

// Errors of Compute. The error says which piece or source is at fault.
var (
	ErrFinish = errors.New("a reflectance is 0 to 1")
	ErrSource = errors.New("a source has a face, a direction and a beam")
)

// check refuses what could not be computed.
func (p *Place) check() error {
	for i := range p.Pieces {
		if !p.Pieces[i].Finish.valid() {
			return fmt.Errorf("piece %d: %w, not %v", i, ErrFinish, p.Pieces[i].Finish)
		}
	}
	for i := range p.Sources {
		if err := p.Sources[i].check(); err != nil {
			return fmt.Errorf("source %d: %w", i, err)
		}
	}
	return nil
}

// scene puts the pieces into a scene.
func (p *Place) scene() *solid.Scene {
	surfaces := make([]solid.Surface, len(p.Pieces))
	var sides [][2]int
	for i, piece := range p.Pieces {
		surfaces[i] = piece.Surface
		if piece.Other > i {
			sides = append(sides, [2]int{i, piece.Other})
		}
	}
	return solid.NewScene(surfaces, sides)
}

// coloured reports whether light bounces differently in the three channels.
func (p *Place) coloured() bool {
	for i := range p.Pieces {
		if f := p.Pieces[i].Finish; f.R != f.G || f.G != f.B {
			return true
		}
	}
	return false
}
