package showfile

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour"
	"linkboy/cues"
)

const colourForms = "write it like 3200 K, {cct: 3200, tint: 0.003}, {hue: 32, sat: 92%}, {xy: [0.31, 0.33]}, " +
	"{uv: [0.2, 0.47]}, {shift: +131 mired, from: 5600 K}, {nm: 520, purity: 80%}, {css: \"oklch(...)\"}, or the name of a cast colour"

// Ranges of the parts of a colour; whether a colour can be is told by its
// form, under the balance of the show.
var (
	kelvins  = span{1000, 25_000}
	tints    = span{-0.05, 0.05} // past it a CCT means nothing (CIE 15)
	degrees  = span{0, 360}
	percents = span{0, 100}
	mireds   = span{-1000, 1000}
	unit     = span{0, 1}
	waves    = span{-830, 830}
)

// colourKeys are the forms written as a map, by the key that marks each.
var colourKeys = []string{"hue", "cct", "xy", "uv", "shift", "nm", "css"}

// ParseColour reads the colour that text, the value of a key in a show file,
// means: "3200 K", "{hue: 32, sat: 92%}". Names of cast colours are refused,
// as there is no cast. The problem's column counts in text. Whether any light
// can have the colour is told by the form's Chromaticity.
func ParseColour(text string) (colour.Form, *cues.Problem) {
	s := &sink{}
	r := &reader{sink: s}
	root, ok := r.parse([]byte(text))
	if ok && root == nil {
		r.problem(&yaml.Node{}, cues.CodeEmptyValue, "there is no colour here", "# starts a comment in YAML", colourForms)
	}
	var c cues.Colour
	if ok && root != nil {
		c = r.colour(root, "the colour")
		if c.Cast != "" {
			r.problem(root, cues.CodeBadColour, fmt.Sprintf("%q is no colour by itself", shorten(c.Cast)),
				"a name means a colour of the cast, and there is no show here", colourForms)
		}
	}
	if problems := s.sorted(); len(problems) > 0 {
		return nil, problems[0]
	}
	return c.Form, nil
}

// colour reads a colour in any form; the zero Colour after a problem.
func (r *reader) colour(n *yaml.Node, what string) cues.Colour {
	c := cues.Colour{At: r.pos(n)}
	before := len(r.sink.problems) + r.sink.dropped
	switch n.Kind {
	case yaml.ScalarNode:
		r.plainColour(n, what, &c)
	case yaml.MappingNode:
		c.Form = r.colourMap(n, what)
	default:
		r.problem(n, cues.CodeBadColour, what+" is no colour", "this is "+shapeOf(n), colourForms)
	}
	if len(r.sink.problems)+r.sink.dropped > before {
		return cues.Colour{}
	}
	return c
}

// plainColour reads "3200 K", "lead" or "warden.lead".
func (r *reader) plainColour(n *yaml.Node, what string, c *cues.Colour) {
	if _, _, ok := splitAmount(n.Value); ok {
		if t, ok := r.quantity(n, what, "K", kelvins, true); ok {
			c.Form = colour.White{CCT: colour.CCT{T: colour.Kelvin(t)}}
		}
		return
	}
	owner, own, dotted := strings.Cut(n.Value, ".")
	if !isName(owner) || dotted && !isName(own) {
		mend := colourForms
		if strings.ContainsAny(n.Value, "#(") {
			mend = fmt.Sprintf("write a CSS colour as {css: %q}", n.Value)
		}
		r.problem(n, cues.CodeBadColour, fmt.Sprintf("%q is no colour", shorten(n.Value)), "it is neither a white nor a name", mend)
		return
	}
	c.Cast = n.Value
}

func (r *reader) colourMap(n *yaml.Node, what string) colour.Form {
	var marks []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		if slices.Contains(colourKeys, n.Content[i].Value) {
			marks = append(marks, n.Content[i].Value)
		}
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	switch len(marks) {
	case 1:
		return r.colourForm(n, what, marks[0])
	case 0:
		r.problem(n, cues.CodeBadColour, what+" is no colour", "it has none of the keys "+list(colourKeys), r.colourMend(n))
	default:
		r.problem(n, cues.CodeBadColour, what+" mixes forms of colour", "it has "+strings.Join(marks, " and "), "keep one of them")
	}
	return nil
}

// colourMend hints at a slip in the key of a colour.
func (r *reader) colourMend(n *yaml.Node) string {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if near := cues.Nearest(n.Content[i].Value, colourKeys); near != "" {
			return fmt.Sprintf("write %q instead of %q", near, n.Content[i].Value)
		}
	}
	return colourForms
}

func (r *reader) colourForm(n *yaml.Node, what, mark string) colour.Form {
	var a, b float64
	var pair [2]float64
	var text string
	var form func() colour.Form
	known := schema{}
	switch mark {
	case "hue":
		known["hue"] = need(r.into(&a, "hue", "deg", degrees))
		known["sat"] = need(r.percent(&b, "sat"))
		form = func() colour.Form { return colour.HueSat{Hue: a, Sat: b} }
	case "cct":
		known["cct"] = need(r.into(&a, "cct", "K", kelvins))
		known["tint"] = may(r.into(&b, "tint", "", tints))
		form = func() colour.Form {
			return colour.White{CCT: colour.CCT{T: colour.Kelvin(a), Duv: colour.Duv(b)}}
		}
	case "xy":
		known["xy"] = need(r.pair(&pair, "xy"))
		form = func() colour.Form { return colour.Chroma{XY: colour.XY{X: pair[0], Y: pair[1]}} }
	case "uv":
		known["uv"] = need(r.pair(&pair, "uv"))
		form = func() colour.Form { return colour.ChromaUV{UV: colour.UV{U: pair[0], V: pair[1]}} }
	case "shift":
		known["shift"] = need(r.into(&a, "shift", "mired", mireds))
		known["from"] = need(r.into(&b, "from", "K", kelvins))
		form = func() colour.Form { return colour.Shift{By: colour.Mired(a), From: colour.Kelvin(b)} }
	case "nm":
		known["nm"] = need(r.wavelength(&a))
		known["purity"] = need(r.percent(&b, "purity"))
		form = func() colour.Form { return colour.Dominant{NM: a, Purity: b} }
	case "css":
		known["css"] = need(func(n *yaml.Node) { text = r.text(n, "css") })
		form = func() colour.Form { return colour.CSS{Text: text} }
	}
	if !r.keys(n, what, known) {
		return nil
	}
	return form()
}

// percent reads "92%" as 0.92; the sign is needed, as 1 could mean either end.
func (r *reader) percent(dst *float64, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		v, _ := r.quantity(n, what, "%", percents, true)
		*dst = hundredth(v)
	}
}

func (r *reader) wavelength(dst *float64) func(*yaml.Node) {
	return func(n *yaml.Node) {
		v, ok := r.quantity(n, "nm", "nm", waves, false)
		if ok && v > -360 && v < 360 {
			r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("%s is out of range for nm", shorten(n.Value)),
				"light is seen from 360 to 830 nm", "write a wavelength in that range, with a minus for the complement of a purple")
		}
		*dst = v
	}
}

func (r *reader) pair(dst *[2]float64, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
			r.problem(n, cues.CodeWrongShape, what+" must be two numbers", "this is "+countOf(n), "write it as [0.31, 0.33]")
			return
		}
		for i := range dst {
			dst[i], _ = r.number(n.Content[i], what, unit)
		}
	}
}
