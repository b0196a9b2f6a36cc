package controller

import (
	"context"
	"fmt"

	"linkboy/artnet/rdm"
)

// Identify has a device show itself, or stop. Most flash all they have: warn who
// looks into the lamp, and whom flashing harms.
func (c *Controller) Identify(ctx context.Context, u rdm.UID, on bool) error {
	return setting[rdm.Identify](ctx, c, u, rdm.PIDIdentifyDevice, rdm.Identify(on), func(got rdm.Identify) bool {
		c.change(u, func(d *Device) { d.Identify = bool(got) })
		return bool(got) == on
	})
}

// SetAddress sets the first slot of a device, 1..512.
func (c *Controller) SetAddress(ctx context.Context, u rdm.UID, a rdm.StartAddress) error {
	if !a.Valid() {
		return fmt.Errorf("rdm: %v: %w: start address %v, need 1..512", u, rdm.ErrRange, a)
	}
	return setting[rdm.StartAddress](ctx, c, u, rdm.PIDDMXStartAddress, a, func(got rdm.StartAddress) bool {
		c.change(u, func(d *Device) { d.Info.StartAddress = got })
		return got == a
	})
}

// SetPersonality sets the personality of a device, from 1. Its footprint
// changes, and its address may.
func (c *Controller) SetPersonality(ctx context.Context, u rdm.UID, n uint8) error {
	if n == 0 {
		return fmt.Errorf("rdm: %v: %w: personality 0, need 1 or more", u, rdm.ErrRange)
	}
	if err := c.Set(ctx, u, rdm.PIDDMXPersonality, (*rdm.PersonalityNumber)(&n)); err != nil {
		return err
	}
	info, err := get[rdm.DeviceInfo](ctx, c, u, rdm.PIDDeviceInfo, nil)
	if err != nil {
		return err
	}
	c.change(u, func(d *Device) { d.Info = info })
	if info.Personality != n {
		return fmt.Errorf("rdm: %v: %w: personality %d, has %d", u, ErrNotTaken, n, info.Personality)
	}
	return nil
}

// SetLabel sets the label of a device, up to 32 bytes of printable ASCII.
func (c *Controller) SetLabel(ctx context.Context, u rdm.UID, text string) error {
	return setting[rdm.Label](ctx, c, u, rdm.PIDDeviceLabel, rdm.Label(text), func(got rdm.Label) bool {
		c.change(u, func(d *Device) { d.Label = string(got) })
		return string(got) == text
	})
}

// Settings are what Apply sets; the zero value of each leaves it.
type Settings struct {
	Personality uint8
	Address     rdm.StartAddress
	Label       string
}

// Apply sets a device, the personality first, since that may move its address,
// and reads back what it took. It stops at the first that does not go.
func (c *Controller) Apply(ctx context.Context, u rdm.UID, s Settings) error {
	if s.Personality != 0 {
		if err := c.SetPersonality(ctx, u, s.Personality); err != nil {
			return err
		}
	}
	if s.Address != 0 {
		if err := c.SetAddress(ctx, u, s.Address); err != nil {
			return err
		}
	}
	if s.Label != "" {
		if err := c.SetLabel(ctx, u, s.Label); err != nil {
			return err
		}
	}
	return nil
}

// setting sets a parameter and reads it back; took keeps what the device has now
// and says whether that was meant.
func setting[T any, P interface {
	*T
	rdm.Parameter
}](ctx context.Context, c *Controller, u rdm.UID, pid rdm.PID, value T, took func(T) bool) error {
	if err := c.Set(ctx, u, pid, P(&value)); err != nil {
		return err
	}
	got, err := get[T, P](ctx, c, u, pid, nil)
	if err != nil {
		return err
	}
	if !took(got) {
		return fmt.Errorf("rdm: %v: %v: %w: %v, has %v", u, pid, ErrNotTaken, value, got)
	}
	return nil
}
