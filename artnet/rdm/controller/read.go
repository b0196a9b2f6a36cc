package controller

import (
	"context"
	"errors"
	"slices"
	"sync"

	"linkboy/artnet/rdm"
)

// Discover collects the tables of gateways and asks every device on them what it
// is; lines are asked side by side. silent are gateways without a table. What
// went wrong with one device is its Trouble; the error is that of sending or of
// ctx.
func (c *Controller) Discover(ctx context.Context, gateways []Gateway) (silent []Gateway, err error) {
	if silent, err = c.Tables(ctx, gateways); err != nil {
		return silent, err
	}
	c.each(ctx, gateways, func(u rdm.UID) { _ = c.Read(ctx, u) })
	return silent, ctx.Err()
}

// MeasureAll measures every device on the lines of gateways, side by side.
func (c *Controller) MeasureAll(ctx context.Context, gateways []Gateway) error {
	c.each(ctx, gateways, func(u rdm.UID) { _ = c.Measure(ctx, u) })
	return ctx.Err()
}

// each calls do for every device that is there: one at a time on a line, all
// lines at once.
func (c *Controller) each(ctx context.Context, gateways []Gateway, do func(rdm.UID)) {
	byLine := make(map[Gateway][]rdm.UID)
	for _, d := range c.Devices() {
		at := Gateway{d.Node, d.PortAddress}
		if !d.Lost && slices.Contains(gateways, at) {
			byLine[at] = append(byLine[at], d.UID)
		}
	}
	var wait sync.WaitGroup
	for _, uids := range byLine {
		wait.Go(func() {
			for _, u := range uids {
				if ctx.Err() != nil {
					return
				}
				do(u)
			}
		})
	}
	wait.Wait()
}

// Read asks a device what it is and how it is set. What devices of one maker,
// model and software have in common is asked of the first of them only.
func (c *Controller) Read(ctx context.Context, u rdm.UID) error {
	info, err := get[rdm.DeviceInfo](ctx, c, u, rdm.PIDDeviceInfo, nil)
	if err != nil {
		return err
	}
	text, err := c.typeOf(ctx, u, info)
	if err != nil {
		return err
	}
	label := rdm.Label("")
	if slices.Contains(text.supported, rdm.PIDDeviceLabel) {
		if label, err = maybe[rdm.Label](ctx, c, u, rdm.PIDDeviceLabel, nil); err != nil {
			return err
		}
	}
	identify, err := maybe[rdm.Identify](ctx, c, u, rdm.PIDIdentifyDevice, nil)
	if err != nil {
		return err
	}
	c.change(u, func(d *Device) {
		d.Asked, d.Info, d.Label, d.Identify = true, info, string(label), bool(identify)
		d.Maker, d.Model, d.Software = text.maker, text.model, text.software
		d.Personalities, d.Supported = text.personalities, text.supported
	})
	return nil
}

// typeOf is what all devices of one type say alike.
func (c *Controller) typeOf(ctx context.Context, u rdm.UID, info rdm.DeviceInfo) (typeText, error) {
	key := typeKey{u.Manufacturer(), info.Model, info.Software}
	c.mu.Lock()
	text, known := c.types[key]
	c.mu.Unlock()
	if known {
		return text, nil
	}
	supported, err := maybe[rdm.PIDs](ctx, c, u, rdm.PIDSupportedParameters, nil)
	if err != nil {
		return text, err
	}
	text.supported = supported
	for _, ask := range []struct {
		pid  rdm.PID
		into *string
	}{
		{rdm.PIDManufacturerLabel, &text.maker},
		{rdm.PIDDeviceModelDescription, &text.model},
		{rdm.PIDSoftwareVersionLabel, &text.software},
	} {
		if ask.pid != rdm.PIDSoftwareVersionLabel && !slices.Contains(supported, ask.pid) {
			continue
		}
		label, err := maybe[rdm.Label](ctx, c, u, ask.pid, nil)
		if err != nil {
			return text, err
		}
		*ask.into = string(label)
	}
	if slices.Contains(supported, rdm.PIDDMXPersonalityDescription) {
		for n := 1; n <= int(info.Personalities); n++ {
			number := rdm.PersonalityNumber(n)
			p, err := maybe[rdm.PersonalityDescription](ctx, c, u, rdm.PIDDMXPersonalityDescription, &number)
			if err != nil {
				return text, err
			}
			if int(p.Number) == n {
				text.personalities = append(text.personalities, p)
			}
		}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.types) < devicesMost {
		c.types[key] = text
	}
	return text, nil
}

// Measure reads the sensors of a device and its hours. The device must have been
// asked what it is.
func (c *Controller) Measure(ctx context.Context, u rdm.UID) error {
	d, _ := c.Device(u)
	var sensors []Sensor
	for n := range int(d.Info.Sensors) {
		number := rdm.SensorNumber(n)
		var s Sensor
		var err error
		if n < len(d.Sensors) && int(d.Sensors[n].Definition.Number) == n {
			s.Definition = d.Sensors[n].Definition
		} else if s.Definition, err = maybe[rdm.SensorDefinition](ctx, c, u, rdm.PIDSensorDefinition, &number); err != nil {
			return err
		}
		if s.Value, err = maybe[rdm.SensorValue](ctx, c, u, rdm.PIDSensorValue, &number); err != nil {
			return err
		}
		sensors = append(sensors, s)
	}
	hours, err := c.hours(ctx, &d, rdm.PIDDeviceHours)
	if err != nil {
		return err
	}
	lamp, err := c.hours(ctx, &d, rdm.PIDLampHours)
	if err != nil {
		return err
	}
	c.change(u, func(d *Device) { d.Sensors, d.Hours, d.LampHours = sensors, hours, lamp })
	return nil
}

// hours are those that a device counts, or nil.
func (c *Controller) hours(ctx context.Context, d *Device, pid rdm.PID) (*rdm.Hours, error) {
	if !d.Supports(pid) {
		return nil, nil
	}
	h, err := get[rdm.Hours](ctx, c, d.UID, pid, nil)
	if _, refused := reason(err); refused {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return &h, nil
}

// get asks for a parameter of a type.
func get[T any, P interface {
	*T
	rdm.Parameter
}](ctx context.Context, c *Controller, u rdm.UID, pid rdm.PID, asked rdm.Parameter) (T, error) {
	var value T
	data, err := c.Get(ctx, u, pid, asked)
	if err != nil {
		return value, err
	}
	return value, parse(P(&value), data)
}

// parse reads the data of an answer of any number of parts.
func parse(into rdm.Parameter, data []byte) error {
	list, long := into.(*rdm.PIDs)
	if !long {
		return into.Parse(data)
	}
	for part := range slices.Chunk(data, rdm.MaxData&^1) {
		var some rdm.PIDs
		if err := some.Parse(part); err != nil {
			return err
		}
		*list = append(*list, some...)
	}
	return nil
}

// maybe is get of what a device need not have: the zero value where it refuses
// or tells what makes no sense.
func maybe[T any, P interface {
	*T
	rdm.Parameter
}](ctx context.Context, c *Controller, u rdm.UID, pid rdm.PID, asked rdm.Parameter) (T, error) {
	value, err := get[T, P](ctx, c, u, pid, asked)
	if _, refused := reason(err); refused || errors.Is(err, rdm.ErrFormat) || errors.Is(err, rdm.ErrRange) {
		var none T
		return none, nil
	}
	return value, err
}
