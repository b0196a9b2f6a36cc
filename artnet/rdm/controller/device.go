package controller

import (
	"cmp"
	"context"
	"errors"
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
)

// Device is what is known of one RDM device.
type Device struct {
	UID         rdm.UID
	Node        netip.AddrPort
	PortAddress artnet.PortAddress
	// Asked: the device has told what it is, and what follows means something.
	Asked         bool
	Info          rdm.DeviceInfo
	Maker         string // MANUFACTURER_LABEL
	Model         string // DEVICE_MODEL_DESCRIPTION
	Software      string // SOFTWARE_VERSION_LABEL
	Label         string // DEVICE_LABEL, for the user to set
	Personalities []rdm.PersonalityDescription
	Supported     []rdm.PID // beyond the minimum set
	Identify      bool
	// Sensors, Hours and LampHours are those of the last Measure; nil hours are
	// not counted by the device.
	Sensors   []Sensor
	Hours     *rdm.Hours
	LampHours *rdm.Hours
	LastSeen  time.Time // in a table, or by an answer
	Lost      bool      // its gateway no longer lists it
	Trouble   string    // what went wrong with it last; empty when nothing did
}

// Sensor is what a device measures of itself.
type Sensor struct {
	Definition rdm.SensorDefinition
	Value      rdm.SensorValue
}

// String is the reading with its unit: "41.2 °C".
func (s Sensor) String() string { return s.Definition.Text(s.Value.Present) }

// Supports reports whether the device lists a parameter.
func (d *Device) Supports(p rdm.PID) bool { return slices.Contains(d.Supported, p) }

// device is an entry of the table.
type device struct {
	key  tableKey
	turn turn // of conversations with it
	info Device
}

// typeKey tells devices that are alike: of one maker, model and software.
type typeKey struct {
	maker    uint16
	model    uint16
	software uint32
}

// typeText is what all devices of a type say alike, asked only once.
type typeText struct {
	maker, model, software string
	personalities          []rdm.PersonalityDescription
	supported              []rdm.PID
}

// Devices lists every device that was told of, in order of node, port-address
// and UID, lost ones too.
func (c *Controller) Devices() []Device {
	c.mu.Lock()
	all := make([]Device, 0, len(c.devices))
	for _, d := range c.devices {
		all = append(all, d.info.clone())
	}
	c.mu.Unlock()
	slices.SortFunc(all, func(a, b Device) int {
		return cmp.Or(a.Node.Compare(b.Node), cmp.Compare(a.PortAddress, b.PortAddress), a.UID.Compare(b.UID))
	})
	return all
}

// Device is one of them.
func (c *Controller) Device(u rdm.UID) (Device, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	d := c.devices[u]
	if d == nil {
		return Device{}, false
	}
	return d.info.clone(), true
}

// clone shares nothing that changes.
func (d Device) clone() Device {
	d.Personalities, d.Supported, d.Sensors = slices.Clone(d.Personalities), slices.Clone(d.Supported), slices.Clone(d.Sensors)
	return d
}

// change changes what is known of a device, if it still is.
func (c *Controller) change(u rdm.UID, f func(*Device)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if d := c.devices[u]; d != nil {
		f(&d.info)
	}
}

// heard keeps how a conversation ended. That the asker went away says nothing
// of the device.
func (c *Controller) heard(u rdm.UID, err error) {
	_, refused := reason(err)
	switch {
	case err == nil || refused:
		c.change(u, func(d *Device) { d.LastSeen, d.Trouble = time.Now(), "" })
	case errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded):
	default:
		c.change(u, func(d *Device) { d.Trouble = err.Error() })
	}
}

// note keeps what a device says unasked, by its queue.
func (c *Controller) note(m *rdm.Message) {
	if m.Response != rdm.ResponseAck || m.Class != rdm.GetResponse || m.SubDevice != rdm.RootDevice {
		return
	}
	p, err := m.Decode()
	if err != nil {
		return
	}
	c.change(m.Source, func(d *Device) {
		switch p := p.(type) {
		case *rdm.DeviceInfo:
			d.Info = *p
		case *rdm.StartAddress:
			d.Info.StartAddress = *p
		case *rdm.Personality:
			d.Info.Personality = p.Current
		case *rdm.Identify:
			d.Identify = bool(*p)
		case *rdm.Label:
			if m.PID == rdm.PIDDeviceLabel {
				d.Label = string(*p)
			}
		}
	})
}
