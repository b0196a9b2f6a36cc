package responder

import (
	"fmt"

	"linkboy/artnet/rdm"
)

// Personality is one way in which a device reads slots.
type Personality struct {
	Text  string
	Slots uint16 // 0..512
}

// Sensor is what a device measures of itself. The number of the definition is
// set by its place in the list.
type Sensor struct {
	Definition rdm.SensorDefinition
	Value      int16
}

// Model is a device as its maker made it, and as it comes out of its box.
type Model struct {
	UID           rdm.UID
	Number        uint16 // the maker's number of the type
	Category      rdm.Category
	Details       rdm.ProductDetails
	Software      uint32
	SoftwareLabel string
	Maker         string // MANUFACTURER_LABEL
	Description   string // DEVICE_MODEL_DESCRIPTION
	Label         string
	Personalities []Personality // at least one; the first is the current one
	Start         rdm.StartAddress
	Sensors       []Sensor // at most 254
	Hours         rdm.Hours
	HasLampHours  bool // a lamp that wears is counted too
	LampHours     rdm.Hours
	// Own are the maker's own parameters, which are only listed and described.
	Own []rdm.ParameterDescription
	// Locked: address, personality and label are set at the device only.
	Locked bool
}

// check refuses what no device can be.
func (m *Model) check() error {
	switch {
	case m.UID == rdm.UID{} || m.UID.IsBroadcast():
		return fmt.Errorf("rdm responder: %v is no device's UID", m.UID)
	case len(m.Personalities) == 0 || len(m.Personalities) > 255:
		return fmt.Errorf("rdm responder %v: %d personalities, need 1..255", m.UID, len(m.Personalities))
	case len(m.Sensors) > 254:
		return fmt.Errorf("rdm responder %v: %d sensors, at most 254", m.UID, len(m.Sensors))
	}
	for _, p := range m.Personalities {
		if p.Slots > 512 {
			return fmt.Errorf("rdm responder %v: personality %q takes %d slots, at most 512", m.UID, p.Text, p.Slots)
		}
		if _, err := rdm.Label(p.Text).AppendBinary(nil); err != nil {
			return fmt.Errorf("rdm responder %v: personality: %w", m.UID, err)
		}
	}
	for _, s := range m.Sensors {
		if _, err := s.Definition.AppendBinary(nil); err != nil {
			return fmt.Errorf("rdm responder %v: sensor: %w", m.UID, err)
		}
	}
	for _, text := range []string{m.SoftwareLabel, m.Maker, m.Description, m.Label} {
		if _, err := rdm.Label(text).AppendBinary(nil); err != nil {
			return fmt.Errorf("rdm responder %v: %w", m.UID, err)
		}
	}
	for _, own := range m.Own {
		if !own.PID.OfManufacturer() {
			return fmt.Errorf("rdm responder %v: %v is no parameter of a maker's own", m.UID, own.PID)
		}
		if _, err := own.AppendBinary(nil); err != nil {
			return fmt.Errorf("rdm responder %v: %w", m.UID, err)
		}
	}
	return nil
}
