package responder

import "linkboy/artnet/rdm"

func getInfo(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	return &rdm.DeviceInfo{
		Protocol: rdm.ProtocolVersion, Model: r.model.Number, Category: r.model.Category, Software: r.model.Software,
		Footprint: r.slots(), Personality: r.personality, Personalities: uint8(len(r.model.Personalities)),
		StartAddress: r.address(), Sensors: uint8(len(r.model.Sensors)),
	}, nil
}

// slots is what the current personality takes.
func (r *Responder) slots() uint16 { return r.model.Personalities[r.personality-1].Slots }

// address is none while no slots are taken.
func (r *Responder) address() rdm.StartAddress {
	if r.slots() == 0 {
		return rdm.NoStartAddress
	}
	return r.start
}

func setLabel(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	if r.model.Locked {
		return nil, refusal(rdm.NackWriteProtect)
	}
	r.label = *asked.(*rdm.Label)
	return &rdm.None{}, nil
}

func getIdentify(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	on := rdm.Identify(r.identify)
	return &on, nil
}

func setIdentify(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	r.identify = bool(*asked.(*rdm.Identify))
	return &rdm.None{}, nil
}

func getStart(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	start := r.address()
	return &start, nil
}

// setStart refuses an address from which the device would reach past slot 512.
func setStart(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	start := *asked.(*rdm.StartAddress)
	switch {
	case r.model.Locked:
		return nil, refusal(rdm.NackWriteProtect)
	case !start.Valid() || int(start)+int(r.slots())-1 > 512:
		return nil, refusal(rdm.NackRange)
	}
	r.start = start
	return &rdm.None{}, nil
}

func getPersonality(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	return &rdm.Personality{Current: r.personality, Count: uint8(len(r.model.Personalities))}, nil
}

func setPersonality(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	n := uint8(*asked.(*rdm.PersonalityNumber))
	switch {
	case r.model.Locked:
		return nil, refusal(rdm.NackWriteProtect)
	case int(n) > len(r.model.Personalities):
		return nil, refusal(rdm.NackRange)
	}
	r.personality = n
	if slots := int(r.slots()); slots > 0 && (!r.start.Valid() || int(r.start)+slots-1 > 512) {
		r.start = rdm.StartAddress(513 - slots) // the last that fits, so that it is not cut
	}
	return &rdm.None{}, nil
}

func getPersonalityDescription(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	n := uint8(*asked.(*rdm.PersonalityNumber))
	if int(n) > len(r.model.Personalities) {
		return nil, refusal(rdm.NackRange)
	}
	p := r.model.Personalities[n-1]
	return &rdm.PersonalityDescription{Number: n, Slots: p.Slots, Text: rdm.Label(p.Text)}, nil
}

func getSensorDefinition(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	n := int(*asked.(*rdm.SensorNumber))
	if n >= len(r.model.Sensors) {
		return nil, refusal(rdm.NackRange)
	}
	d := r.model.Sensors[n].Definition
	d.Number = uint8(n)
	return &d, nil
}

func getSensorValue(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	n := int(*asked.(*rdm.SensorNumber))
	if n >= len(r.model.Sensors) {
		return nil, refusal(rdm.NackRange)
	}
	v := &rdm.SensorValue{Number: uint8(n), Present: r.model.Sensors[n].Value}
	if r.model.Sensors[n].Definition.Recorded&rdm.SensorLowAndTop != 0 {
		v.Lowest, v.Highest = r.lowest[n], r.highest[n]
	}
	return v, nil
}

// resetSensor forgets the lowest and highest, of one or of every sensor.
func resetSensor(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	n := *asked.(*rdm.SensorNumber)
	if n != rdm.EverySensor && int(n) >= len(r.model.Sensors) {
		return nil, refusal(rdm.NackRange)
	}
	for i, s := range r.model.Sensors {
		if n == rdm.EverySensor || int(n) == i {
			r.lowest[i], r.highest[i] = s.Value, s.Value
		}
	}
	if n == rdm.EverySensor {
		return &rdm.SensorValue{Number: uint8(n)}, nil
	}
	return getSensorValue(r, asked)
}

func getHours(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	hours := r.hours
	return &hours, nil
}

func getLampHours(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	hours := r.lampHours
	return &hours, nil
}

func setLampHours(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	r.lampHours = *asked.(*rdm.Hours)
	return &rdm.None{}, nil
}
