package stage

import (
	"fmt"
	"math"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
)

// Scene is a location as a page draws it from its cameras: plain numbers, in
// metres to the micrometre. Its surfaces are in the order of the grids of the light
// map, its lamps in the order of the sources.
type Scene struct {
	Location string         `json:"location"`
	Revision uint32         `json:"revision"` // of the plan; left to whoever keeps it
	Aspect   float64        `json:"aspect"`   // of pictures, width over height
	Surfaces []SceneSurface `json:"surfaces"`
	Lamps    []SceneLamp    `json:"lamps"`
	Beams    []SceneBeam    `json:"beams"`
	Setups   []SceneSetup   `json:"setups"`
}

// SceneShape is where a surface is: the point at (u, v), each 0..1, is
//
//	rectangle  at + u·U + v·V
//	triangle   the same, for u + v at most 1
//	disc       at + (2u-1)·U + (2v-1)·V, within the radius
//	tube       at + cos(2πu)·U + sin(2πu)·V + v·W
//	ball       at + r·(cos(2πu)·U + sin(2πu)·V) + (2v-1)·W, r = √(1-(2v-1)²)
//
// and its outside is that of U × V, or away from the axis or the centre.
type SceneShape struct {
	Shape string      `json:"shape"`
	At    [3]float64  `json:"at"`
	U     [3]float64  `json:"u"`
	V     [3]float64  `json:"v"`
	W     *[3]float64 `json:"w,omitempty"`
}

// SceneSurface is a surface of the place.
type SceneSurface struct {
	SceneShape
	Finish [3]float64 `json:"finish"` // reflectance for red, green and blue
	Twin   int        `json:"twin"`   // its other side, -1 for none
}

// SceneLamp is what is seen of a cell.
type SceneLamp struct {
	SceneShape
	Area   float64    `json:"area"`   // of the face, m²
	Facing [3]float64 `json:"facing"` // axis of its beam
	Beam   int        `json:"beam"`   // index into Beams; -1 for a tube that shines all round
	// Of is the lamp that this one is at another spread: the two have one face, and
	// what is seen of that is the sum of both. -1 for one that has its own.
	Of int `json:"of"`
	// Pass is the share of its light that its gobo lets through to the camera of each
	// set-up; none without a gobo.
	Pass []float64 `json:"pass,omitempty"`
}

// SceneBeam is the intensity of a lumen at an angle off the axis, in candela:
// Peak·2^-(x^Shape), x = Power·log2(1/cos θ); see colour/photometry.Beam.
type SceneBeam struct {
	Peak  float64 `json:"peak"`
	Power float64 `json:"power"`
	Shape float64 `json:"shape"`
}

// SceneSetup is a camera and how it is exposed.
type SceneSetup struct {
	Name     string     `json:"name"`
	Camera   [3]float64 `json:"camera"`
	LookAt   [3]float64 `json:"look_at"`
	LensMM   float64    `json:"lens_mm"`
	SensorMM float64    `json:"sensor_mm"` // its width
	KeyLux   float64    `json:"key_lux"`   // light on a face that the exposure is meant for
	Over     float64    `json:"over"`      // stops over grey before a channel clips
	Balance  float64    `json:"balance"`   // K
	// Gain is what each channel gets of any light, against the show's balance.
	Gain   [3]float64    `json:"gain"`
	Matrix [3][3]float64 `json:"matrix"` // from its channels to Rec.709
}

// Camera is that of a set-up.
func (s *Stage) Camera(u *cues.Setup) picture.Camera {
	return picture.Camera{
		At: Vec(u.Camera), LookAt: Vec(u.LookAt), LensMM: u.LensMM, WidthMM: s.Plan.Show.Shot(u).SensorWidthMM,
	}
}

// HazeMost is as thick as haze can be asked for: the share of the light that it takes on
// 10 m of its way.
const HazeMost = 0.9

// Haze gives what there is to compute of the air before the camera of a set-up, in a haze
// that takes a share, 0 to HazeMost, of the light on 10 m of its way.
func (s *Stage) Haze(u *cues.Setup, share float64) picture.HazeTask {
	t := picture.HazeTask{Place: &s.Place, Camera: s.Camera(u), Share: share}
	for _, r := range s.Plan.Location.Rig {
		if of := s.SourcesOfLamp(r); len(of) > 0 {
			t.Lamps = append(t.Lamps, of)
		}
	}
	return t
}

// Stills gives what there is to draw of the stage from a set-up in several lights: those
// that bytes on the wire make, in the light map of the stage as colour/transport encodes it.
// The error is that of a camera's balance.
func (s *Stage) Stills(u *cues.Setup, light []byte, slots [][][]byte, width, height int) (picture.StillsTask, error) {
	shot := s.Plan.Show.Shot(u)
	view, err := shot.View()
	if err != nil {
		return picture.StillsTask{}, err
	}
	t := picture.StillsTask{
		Place: &s.Place, Light: light, Lamps: s.Lamps, Camera: s.Camera(u),
		Key: shot.KeyLux(), Over: shot.Over, Matrix: view.Matrix(), Width: width, Height: height,
	}
	eye, seen := NewEye(s, view), make([]camera.Response, len(s.Place.Sources))
	for _, bytes := range slots {
		eye.See(bytes, seen)
		cells := make([]camera.RGB, len(seen))
		for i := range seen {
			cells[i] = seen[i].RGB
		}
		t.Cells = append(t.Cells, cells)
	}
	return t, nil
}

// Scene gives the stage in plain numbers. The error is that of a camera's balance.
func (s *Stage) Scene() (*Scene, error) {
	out := &Scene{
		Location: s.Plan.Location.Name, Aspect: picture.Wide,
		Surfaces: []SceneSurface{}, Lamps: []SceneLamp{}, Beams: []SceneBeam{}, Setups: []SceneSetup{},
	}
	for i := range s.Place.Pieces {
		p := &s.Place.Pieces[i]
		out.Surfaces = append(out.Surfaces, SceneSurface{shapeOf(&p.Surface), [3]float64{p.Finish.R, p.Finish.G, p.Finish.B}, p.Other})
	}
	known := map[SceneBeam]int{}
	of := s.owners()
	for i := range s.Place.Sources {
		source, face := &s.Place.Sources[i], &s.Lamps[of[i]].Face
		lamp := SceneLamp{SceneShape: shapeOf(face), Area: face.Area(), Facing: rounded(source.Facing), Beam: -1, Of: -1}
		if of[i] != i {
			lamp.Of = of[i]
		}
		if source.Mask != nil {
			for _, u := range s.Plan.Location.Setups {
				lamp.Pass = append(lamp.Pass, math.Round(source.Masked(Vec(u.Camera))*1e6)/1e6)
			}
		}
		if source.Beam != nil {
			b, err := beamNumbers(source.Beam)
			if err != nil {
				return nil, err
			}
			at, seen := known[b]
			if !seen {
				at = len(out.Beams)
				known[b], out.Beams = at, append(out.Beams, b)
			}
			lamp.Beam = at
		}
		out.Lamps = append(out.Lamps, lamp)
	}
	for _, u := range s.Plan.Location.Setups {
		setup, err := s.sceneSetup(u)
		if err != nil {
			return nil, err
		}
		out.Setups = append(out.Setups, setup)
	}
	return out, nil
}

// owners gives the cell of each source.
func (s *Stage) owners() []int {
	of := make([]int, len(s.Place.Sources))
	for cell := range s.Lamps {
		for _, k := range s.Lamps[cell].Sources {
			of[k] = cell
		}
	}
	return of
}

func (s *Stage) sceneSetup(u *cues.Setup) (SceneSetup, error) {
	shot, c := s.Camera(u), s.Plan.Show.Shot(u)
	view, err := c.View()
	if err != nil {
		return SceneSetup{}, fmt.Errorf("set-up %s: %w", u.Name, err)
	}
	base, err := s.Plan.Show.Camera.View()
	if err != nil {
		return SceneSetup{}, fmt.Errorf("set-up %s: %w", u.Name, err)
	}
	gain := view.Gain(base)
	return SceneSetup{
		Name: u.Name, Camera: rounded(shot.At), LookAt: rounded(shot.LookAt), LensMM: shot.LensMM, SensorMM: shot.WidthMM,
		KeyLux: c.KeyLux(), Over: c.Over, Balance: float64(c.Balance), Matrix: view.Matrix(),
		Gain: [3]float64{gain.R, gain.G, gain.B},
	}, nil
}

// shapeOf gives where a surface is. A tube and a ball are turned as colour/solid turns them.
func shapeOf(s *solid.Surface) SceneShape {
	f := s.Form()
	switch f.Shape {
	case solid.Tube:
		u, v := f.U.Unit().Frame()
		return SceneShape{"tube", rounded(f.At), rounded(u.Scale(f.Radius)), rounded(v.Scale(f.Radius)), new(rounded(f.U))}
	case solid.Ball:
		r := f.Radius
		return SceneShape{"ball", rounded(f.At), rounded(solid.Vec{X: r}), rounded(solid.Vec{Y: r}), new(rounded(solid.Vec{Z: r}))}
	}
	names := map[solid.Shape]string{solid.Rectangle: "rectangle", solid.Triangle: "triangle", solid.Disc: "disc"}
	return SceneShape{names[f.Shape], rounded(f.At), rounded(f.U), rounded(f.V), nil}
}

func beamNumbers(b transport.Beam) (SceneBeam, error) {
	switch b := b.(type) {
	case transport.Lambert:
		return SceneBeam{Peak: 1 / math.Pi, Power: 1, Shape: 1}, nil
	case transport.Optics:
		return SceneBeam(b), nil
	}
	return SceneBeam{}, fmt.Errorf("a beam of type %T cannot be drawn", b)
}

// rounded keeps micrometres: the rest only makes the scene long.
func rounded(v solid.Vec) [3]float64 {
	out := [3]float64{v.X, v.Y, v.Z}
	for i := range out {
		out[i] = math.Round(out[i]*1e6) / 1e6
	}
	return out
}
