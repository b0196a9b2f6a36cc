package rdm

import (
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
)

// SensorNumber is a sensor, from 0: the data of GET SENSOR_DEFINITION and of GET
// and SET SENSOR_VALUE. A SET forgets the lowest, highest and recorded values.
type SensorNumber uint8

// EverySensor is for SET SENSOR_VALUE only.
const EverySensor SensorNumber = 0xff

// AppendBinary appends 1 byte. The error is always nil.
func (n SensorNumber) AppendBinary(b []byte) ([]byte, error) { return append(b, uint8(n)), nil }

// Parse reads 1 byte. Errors wrap ErrFormat.
func (n *SensorNumber) Parse(b []byte) error {
	if err := exactly(b, "a sensor", 1); err != nil {
		return err
	}
	*n = SensorNumber(b[0])
	return nil
}

// Recorded support of a sensor.
const (
	SensorRecords   = 1 << 0 // RECORD_SENSORS keeps a value
	SensorLowAndTop = 1 << 1 // lowest and highest are kept
)

const sensorDefinitionLeast = 13

// SensorDefinition is the data of the response to GET SENSOR_DEFINITION. ANSI
// E1.20 section 10.7.1; the four bounds are signed:
//
//	0  sensor      3  prefix            8   normal minimum, 2
//	1  type        4  range minimum, 2  10  normal maximum, 2
//	2  unit        6  range maximum, 2  12  recorded value support
//	                                    13  description, up to 32
type SensorDefinition struct {
	Number               uint8
	Type                 SensorType
	Unit                 Unit
	Prefix               Prefix
	RangeMin, RangeMax   int16 // -32768 and 32767 where unknown
	NormalMin, NormalMax int16
	Recorded             uint8 // SensorRecords, SensorLowAndTop
	Description          Label
}

// Value is a reading in the sensor's unit: raw times ten to the power of the
// prefix.
func (s SensorDefinition) Value(raw int16) float64 {
	p := s.Prefix.Power()
	if p < 0 { // dividing by a whole number rounds once
		return float64(raw) / math.Pow10(-p)
	}
	return float64(raw) * math.Pow10(p)
}

// Text is a reading with its unit: "23.5 °C".
func (s SensorDefinition) Text(raw int16) string {
	value := strconv.FormatFloat(s.Value(raw), 'g', -1, 64)
	if s.Unit == UnitNone {
		return value
	}
	return value + " " + s.Unit.String()
}

// String is one line for a log.
func (s SensorDefinition) String() string {
	return fmt.Sprintf("sensor %d %q: %v, %s to %s", s.Number, string(s.Description), s.Type, s.Text(s.RangeMin), s.Text(s.RangeMax))
}

// AppendBinary appends 13 bytes and the description. Errors wrap ErrLabel.
func (s SensorDefinition) AppendBinary(b []byte) ([]byte, error) {
	kept := b
	b = append(b, s.Number, uint8(s.Type), uint8(s.Unit), uint8(s.Prefix))
	b = appendInt16(b, s.RangeMin)
	b = appendInt16(b, s.RangeMax)
	b = appendInt16(b, s.NormalMin)
	b = appendInt16(b, s.NormalMax)
	return appendLabel(kept, append(b, s.Recorded), s.Description)
}

// Parse reads 13 to 45 bytes. Errors wrap ErrFormat.
func (s *SensorDefinition) Parse(b []byte) error {
	if err := withLabel(b, "SENSOR_DEFINITION", sensorDefinitionLeast); err != nil {
		return err
	}
	got := SensorDefinition{
		Number: b[0], Type: SensorType(b[1]), Unit: Unit(b[2]), Prefix: Prefix(b[3]),
		RangeMin: int16At(b, 4), RangeMax: int16At(b, 6), NormalMin: int16At(b, 8), NormalMax: int16At(b, 10),
		Recorded: b[12], Description: s.Description,
	}
	_ = got.Description.Parse(b[sensorDefinitionLeast:]) // takes anything
	*s = got
	return nil
}

const sensorValueSize = 9

// SensorValue is the data of the response to GET and SET SENSOR_VALUE. ANSI
// E1.20 section 10.7.2; all values are signed, and 0 where they are not kept:
//
//	0  sensor    1  present, 2    3  lowest, 2    5  highest, 2    7  recorded, 2
type SensorValue struct {
	Number                             uint8
	Present, Lowest, Highest, Recorded int16
}

// AppendBinary appends 9 bytes. The error is always nil.
func (s SensorValue) AppendBinary(b []byte) ([]byte, error) {
	b = appendInt16(append(b, s.Number), s.Present)
	b = appendInt16(b, s.Lowest)
	b = appendInt16(b, s.Highest)
	return appendInt16(b, s.Recorded), nil
}

// Parse reads 9 bytes. Errors wrap ErrFormat.
func (s *SensorValue) Parse(b []byte) error {
	if err := exactly(b, "SENSOR_VALUE", sensorValueSize); err != nil {
		return err
	}
	*s = SensorValue{Number: b[0], Present: int16At(b, 1), Lowest: int16At(b, 3), Highest: int16At(b, 5), Recorded: int16At(b, 7)}
	return nil
}

func appendInt16(b []byte, v int16) []byte { return binary.BigEndian.AppendUint16(b, uint16(v)) }

func int16At(b []byte, at int) int16 { return int16(binary.BigEndian.Uint16(b[at:])) }
