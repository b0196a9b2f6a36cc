package responder

import (
	"maps"
	"slices"

	"linkboy/artnet/rdm"
)

// parametersOf is what a device knows, by parameter.
func parametersOf(m *Model) map[rdm.PID]parameter {
	label := func(of func(r *Responder) string) parameter {
		return parameter{get: func(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
			text := rdm.Label(of(r))
			return &text, nil
		}}
	}
	software := label(func(r *Responder) string { return r.model.SoftwareLabel })
	software.minimum = true
	deviceLabel := label(func(r *Responder) string { return string(r.label) })
	deviceLabel.set = setLabel
	known := map[rdm.PID]parameter{
		rdm.PIDDeviceInfo:                {get: getInfo, minimum: true},
		rdm.PIDSoftwareVersionLabel:      software,
		rdm.PIDIdentifyDevice:            {get: getIdentify, set: setIdentify, minimum: true},
		rdm.PIDSupportedParameters:       {get: getSupported, minimum: true},
		rdm.PIDDMXStartAddress:           {get: getStart, set: setStart, minimum: true, has: hasSlots},
		rdm.PIDParameterDescription:      {get: getDescription, minimum: true, has: hasOwn},
		rdm.PIDQueuedMessage:             {}, // answered by next
		rdm.PIDCommsStatus:               {get: getComms, set: clearComms},
		rdm.PIDProductDetailIDList:       {get: getDetails, has: hasDetails},
		rdm.PIDDeviceModelDescription:    label(func(r *Responder) string { return r.model.Description }),
		rdm.PIDManufacturerLabel:         label(func(r *Responder) string { return r.model.Maker }),
		rdm.PIDDeviceLabel:               deviceLabel,
		rdm.PIDDMXPersonality:            {get: getPersonality, set: setPersonality},
		rdm.PIDDMXPersonalityDescription: {get: getPersonalityDescription},
		rdm.PIDSensorDefinition:          {get: getSensorDefinition, has: hasSensors},
		rdm.PIDSensorValue:               {get: getSensorValue, set: resetSensor, has: hasSensors},
		rdm.PIDDeviceHours:               {get: getHours},
		rdm.PIDLampHours:                 {get: getLampHours, set: setLampHours, has: hasLampHours},
	}
	maps.DeleteFunc(known, func(_ rdm.PID, p parameter) bool { return p.has != nil && !p.has(m) })
	return known
}

func hasOwn(m *Model) bool       { return len(m.Own) > 0 }
func hasDetails(m *Model) bool   { return len(m.Details) > 0 }
func hasSensors(m *Model) bool   { return len(m.Sensors) > 0 }
func hasLampHours(m *Model) bool { return m.HasLampHours }

// hasSlots: a device that takes slots in any personality has an address.
func hasSlots(m *Model) bool {
	return slices.ContainsFunc(m.Personalities, func(p Personality) bool { return p.Slots > 0 })
}

// getSupported lists what goes beyond the minimum set, in order.
func getSupported(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	var list rdm.PIDs
	for _, pid := range slices.Sorted(maps.Keys(r.known)) {
		if !r.known[pid].minimum {
			list = append(list, pid)
		}
	}
	for _, own := range r.model.Own {
		list = append(list, own.PID)
	}
	return &list, nil
}

func getDescription(r *Responder, asked rdm.Parameter) (rdm.Parameter, error) {
	for _, own := range r.model.Own {
		if own.PID == *asked.(*rdm.PID) {
			return &own, nil
		}
	}
	return nil, refusal(rdm.NackRange)
}

func getComms(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	status := r.comms
	return &status, nil
}

func clearComms(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	r.comms = rdm.CommsStatus{}
	return &rdm.None{}, nil
}

func getDetails(r *Responder, _ rdm.Parameter) (rdm.Parameter, error) {
	details := r.model.Details
	return &details, nil
}
