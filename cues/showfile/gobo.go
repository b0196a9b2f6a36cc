package showfile

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour/gobo"
	"linkboy/colour/lamp"
	"linkboy/cues"
)

// Ranges of a gobo.
var (
	throws = span{1, 170}
	soft   = span{0, 60}
)

// gobo reads what a lamp projects; nil after a problem.
func (s *site) gobo(n *yaml.Node) *cues.Gobo {
	g := &cues.Gobo{At: s.pos(n)}
	s.keys(n, "the gobo", schema{
		"picture": need(func(n *yaml.Node) { g.File, g.Picture = s.goboFile(n) }),
		"angle":   may(s.into(&g.AngleDeg, "the angle of a gobo", "deg", throws)),
		"turn":    may(s.into(&g.TurnDeg, "the turn of a gobo", "deg", turns)),
		"soft":    may(s.into(&g.SoftDeg, "how soft a gobo is", "deg", soft)),
	})
	if g.Picture == nil {
		return nil
	}
	return g
}

// goboFile reads the picture that n names; nil after a problem.
func (s *site) goboFile(n *yaml.Node) (file string, picture *gobo.Picture) {
	file = s.text(n, "the picture of a gobo")
	if file == "" {
		if n.Kind == yaml.ScalarNode {
			s.problem(n, cues.CodeUnknownGobo, "a gobo names no picture", "it is what the lamp projects", "write the name of a file, like window.png")
		}
		return "", nil
	}
	s.table(s.reader, n, tableFile{
		name: file, example: "window.png", missing: cues.CodeUnknownGobo,
		why: "a lamp projects it", mend: "copy it into the show's folder, or take the gobo out",
	}, func(f io.Reader) (err error) {
		picture, err = gobo.ReadPNG(f)
		if !errors.Is(err, gobo.ErrPicture) {
			return err
		}
		s.problem(n, cues.CodeBadGobo, shorten(file)+" cannot be projected", strings.TrimPrefix(err.Error(), gobo.ErrPicture.Error()+": "),
			"save it anew as a PNG, white where light passes and black elsewhere")
		return nil
	})
	return file, picture
}

// fitsGobo tells what a gobo cannot be in.
func (s *site) fitsGobo(n *yaml.Node, r *cues.RigLamp) {
	switch {
	case r.Lamp.Type.Class != lamp.Spot:
		s.problem(n, cues.CodeBadGobo, fmt.Sprintf("%q projects no gobo", r.ID), fmt.Sprintf("it is a %s, and what has no lens throws no picture", r.Lamp.Type.Class),
			"put it into a spot, or take it out")
	case r.Diffusion != nil && r.Diffusion.WidensDeg > 0:
		s.problem(n, cues.CodeBadGobo, fmt.Sprintf("the diffusion of %q hides its gobo", r.ID), "light that has been spread shows no picture",
			"take one of them out, or write soft: in the gobo")
	}
}
