package rdm

import "fmt"

// SensorType is what a sensor measures, ANSI E1.20 table A-12.
type SensorType uint8

// Types that are met on a set.
const (
	SensorTemperature SensorType = 0x00
	SensorVoltage     SensorType = 0x01
	SensorCurrent     SensorType = 0x02
	SensorFrequency   SensorType = 0x03
	SensorPower       SensorType = 0x05
	SensorTime        SensorType = 0x10
	SensorHumidity    SensorType = 0x1f
	SensorOther       SensorType = 0x7f
)

var sensorTypes = [...]string{
	"temperature", "voltage", "current", "frequency", "resistance", "power", "mass", "length", "area", "volume", "density",
	"velocity", "acceleration", "force", "energy", "pressure", "time", "angle", "position x", "position y", "position z",
	"angular velocity", "luminous intensity", "luminous flux", "illuminance", "chrominance red", "chrominance green",
	"chrominance blue", "contacts", "memory", "items", "humidity", "counter 16bit",
}

// String is the quantity in words.
func (t SensorType) String() string {
	if int(t) < len(sensorTypes) {
		return sensorTypes[t]
	}
	if t == SensorOther {
		return "other"
	}
	return fmt.Sprintf("sensor type 0x%02x", uint8(t))
}

// Unit is what a value is counted in, ANSI E1.20 table A-13.
type Unit uint8

// Units that are met on a set.
const (
	UnitNone    Unit = 0x00
	UnitCelsius Unit = 0x01
	UnitVoltDC  Unit = 0x02
	UnitVoltAC  Unit = 0x04 // RMS
	UnitAmpDC   Unit = 0x05
	UnitHertz   Unit = 0x08
	UnitWatt    Unit = 0x0a
	UnitSecond  Unit = 0x15
	UnitCandela Unit = 0x18
	UnitLumen   Unit = 0x19
	UnitLux     Unit = 0x1a
)

var units = [...]string{
	"", "°C", "V DC", "V AC peak", "V AC", "A DC", "A AC peak", "A AC", "Hz", "Ω", "W", "kg", "m", "m²", "m³", "kg/m³", "m/s", "m/s²",
	"N", "J", "Pa", "s", "°", "sr", "cd", "lm", "lx", "IRE", "B",
}

// String is the sign of the unit, empty for UnitNone.
func (u Unit) String() string {
	if int(u) < len(units) {
		return units[u]
	}
	return fmt.Sprintf("unit 0x%02x", uint8(u))
}

// Prefix multiplies a unit by a power of ten, ANSI E1.20 table A-14: 0x01..0x0a
// are deci to yocto, 0x11..0x1a deca to yotta.
type Prefix uint8

// Prefixes that are met on a set.
const (
	PrefixNone  Prefix = 0x00
	PrefixDeci  Prefix = 0x01
	PrefixCenti Prefix = 0x02
	PrefixMilli Prefix = 0x03
	PrefixKilo  Prefix = 0x13
)

// Power is the power of ten, -24..24; 0 for a prefix without a meaning.
func (p Prefix) Power() int {
	powers := [...]int{0, 1, 2, 3, 6, 9, 12, 15, 18, 21, 24}
	size := int(p & 0x0f)
	switch {
	case size >= len(powers) || p > 0x1f:
		return 0
	case p < 0x10:
		return -powers[size]
	}
	return powers[size]
}
