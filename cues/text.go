package cues

import (
	"fmt"
	"math/big"
	"strconv"
)

// String gives l as it is written in a show file; "" when none was written.
func (l Level) String() string {
	switch l.Kind {
	case Share:
		return percent(l.Value)
	case StopsFromFull:
		return number(l.Value) + " stops"
	case StopsUnder:
		sign := ""
		if l.Value > 0 {
			sign = "+"
		}
		return fmt.Sprintf("%s%s stops under %s at %s", sign, number(l.Value), l.Group, l.Mark)
	case Lux:
		return fmt.Sprintf("%s lx at %s", number(l.Value), l.Mark)
	}
	return ""
}

// IsZero reports whether no level was written.
func (l Level) IsZero() bool { return l.Kind == "" }

// String gives c as it is written in a show file; "" when none was written.
func (c Colour) String() string {
	if c.Form != nil {
		return c.Form.String()
	}
	return c.Cast
}

// String gives a as net:sub-net:universe.slot, the slot with three digits.
func (a Address) String() string {
	return fmt.Sprintf("%s.%03d", PortText(a.Port), a.Slot)
}

// PortText writes a port-address as net:sub-net:universe.
func PortText(port uint16) string {
	return fmt.Sprintf("%d:%d:%d", port>>8, port>>4&0xf, port&0xf)
}

// percent writes a share as a percentage: the shortest decimal of the share,
// with its point moved.
func percent(share float64) string {
	r := decimal(share)
	r.Mul(r, big.NewRat(100, 1))
	digits, _ := r.FloatPrec() // a hundred times a decimal is a decimal
	return r.FloatString(digits) + "%"
}

func number(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// String gives m as it is written in a show file.
func (m *Motion) String() string {
	if m.Kind == NoMotion {
		return string(NoMotion)
	}
	text := "{noise: "
	if m.Kind.IsWave() {
		text = "{wave: "
	}
	text += string(m.Kind)
	say := func(key, value string, said bool) {
		if said {
			text += ", " + key + ": " + value
		}
	}
	say("period", m.Period.String(), !m.Period.IsZero())
	say("between", string(m.Between), m.Between != "" && m.Between != BetweenLevels)
	say("depth", percent(float64(m.Depth)), m.Depth != 0)
	say("spread", m.Spread.String(), m.Spread.Set)
	say("phase", percent(m.Phase), m.Phase != 0)
	say("duty", percent(m.Duty), m.Duty != 0)
	say("seed", strconv.FormatUint(m.Seed, 10), m.Seed != 0)
	return text + "}"
}

// String gives s as it is written in a show file; "" when it is not set.
func (s MotionSpread) String() string {
	switch {
	case !s.Set:
		return ""
	case !s.Time.IsZero():
		return s.Time.String()
	case s.Cycles == 1 || s.Cycles == -1:
		return number(s.Cycles) + " cycle"
	}
	return number(s.Cycles) + " cycles"
}
