package camera

import "strconv"

// RGB is the levels of a camera's three channels, linear in light.
type RGB struct{ R, G, B float64 }

// Add returns the sum: light adds up, and a sensor is linear.
func (c RGB) Add(d RGB) RGB { return RGB{c.R + d.R, c.G + d.G, c.B + d.B} }

// Scale returns c times k.
func (c RGB) Scale(k float64) RGB { return RGB{c.R * k, c.G * k, c.B * k} }

// Hottest returns the greatest level and its channel; of equal ones the first.
func (c RGB) Hottest() (level float64, channel Channel) {
	level = c.R
	if c.G > level {
		level, channel = c.G, Green
	}
	if c.B > level {
		level, channel = c.B, Blue
	}
	return level, channel
}

// Channel is one of a camera's three colour channels.
type Channel int

// The channels, in the order of RGB.
const (
	Red Channel = iota
	Green
	Blue
)

// String gives the channel as a word: red, green or blue.
func (c Channel) String() string {
	switch c {
	case Red:
		return "red"
	case Green:
		return "green"
	case Blue:
		return "blue"
	}
	return "channel " + strconv.Itoa(int(c))
}

// MarshalText gives the channel as String does, for JSON.
func (c Channel) MarshalText() ([]byte, error) { return []byte(c.String()), nil }
