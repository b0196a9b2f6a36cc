package main

import (
	"fmt"
	"hash/fnv"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/responder"
	"linkboy/colour/lamp"
	"linkboy/cues"
)

// softwareMaker is the manufacturer of the software rig's lamps, of the range
// that ESTA keeps for prototypes.
const softwareMaker = artnet.PrototypeEsta + 1

// fresh is how many lamps of the software rig are as they left the box, without
// label and address, so that there is something to set.
const fresh = 2

// linesOf puts an RDM device on the software rig's lines for every lamp of the
// show: where the plan of the location has it, or of the first place that it
// stands in. What they measure and count is invented.
func linesOf(show *cues.Show, location string) (map[artnet.PortAddress]*responder.Line, error) {
	lines := make(map[artnet.PortAddress]*responder.Line)
	at := make(map[string]*cues.RigLamp) // by kit lamp
	here := show.Location(location)
	if here == nil && len(show.Locations) > 0 {
		here = show.Locations[0]
	}
	for _, loc := range append([]*cues.Location{here}, show.Locations...) {
		if loc == nil {
			continue
		}
		for _, l := range loc.Rig {
			if at[l.Lamp.ID] == nil {
				at[l.Lamp.ID] = l
			}
		}
	}
	left := fresh
	for i := len(show.Kit) - 1; i >= 0; i-- { // from the end: the fresh ones are single lamps
		k := show.Kit[i]
		place := at[k.ID]
		if place == nil {
			continue
		}
		m := softwareLamp(k, place, uint32(i+1))
		if len(k.Type.Emitters) > 0 && left > 0 && k.UID == "" && onlyOne(show, k) {
			m.Label, m.Start = "", 1
			left--
		}
		device, err := responder.New(m)
		if err != nil {
			return nil, fmt.Errorf("software rig: lamp %s: %w", k.ID, err)
		}
		port := artnet.PortAddress(place.Address.Port)
		if lines[port] == nil {
			lines[port] = responder.NewLine()
		}
		lines[port].Plug(device)
	}
	return lines, nil
}

// onlyOne reports whether the kit has one lamp of a type, which is then known
// without a label.
func onlyOne(show *cues.Show, k *cues.KitLamp) bool {
	n := 0
	for _, other := range show.Kit {
		if other.Type.Name == k.Type.Name {
			n++
		}
	}
	return n == 1
}

// softwareLamp is a lamp of the kit as a device.
func softwareLamp(k *cues.KitLamp, place *cues.RigLamp, number uint32) responder.Model {
	m := responder.Model{
		UID: rdm.NewUID(softwareMaker, number), Number: typeNumber(k.Type.Name), Category: rdm.CategoryFixtureFixed, Details: rdm.ProductDetails{0x0004},
		Software: 1, SoftwareLabel: "software rig", Maker: "linkboy software rig", Description: asLabel(k.Type.Name), Label: asLabel(k.ID),
		Start: rdm.StartAddress(place.Address.Slot), Hours: rdm.Hours(40 + 7*number),
		Sensors: []responder.Sensor{{
			Definition: rdm.SensorDefinition{
				Type: rdm.SensorTemperature, Unit: rdm.UnitCelsius, Prefix: rdm.PrefixDeci, RangeMin: -200, RangeMax: 1200, NormalMax: 750,
				Recorded: rdm.SensorLowAndTop, Description: "LED board",
			},
			Value: int16(310 + 5*number),
		}},
	}
	if uid, err := rdm.ParseUID(k.UID); err == nil {
		m.UID = uid
	}
	if k.Type.Class == lamp.Fog {
		m.Category, m.Details = rdm.CategoryOther, nil
	}
	if k.Type.Class == lamp.Puck {
		m.Sensors = append(m.Sensors, responder.Sensor{
			Definition: rdm.SensorDefinition{Type: rdm.SensorVoltage, Unit: rdm.UnitVoltDC, Prefix: rdm.PrefixCenti, RangeMax: 1700, NormalMin: 1320, NormalMax: 1680, Description: "battery"},
			Value:      int16(1600 - 20*number),
		})
	}
	current := responder.Personality{Text: asLabel(k.Mode.Name), Slots: uint16(k.Mode.Footprint)}
	m.Personalities = []responder.Personality{current}
	for _, mode := range k.Type.Modes {
		if mode.Name != k.Mode.Name {
			m.Personalities = append(m.Personalities, responder.Personality{Text: asLabel(mode.Name), Slots: uint16(mode.Footprint)})
		}
	}
	return m
}

// typeNumber is the model number of a lamp type: the same for the same name.
func typeNumber(name string) uint16 {
	h := fnv.New32a()
	_, _ = h.Write([]byte(name))
	return uint16(h.Sum32())
}

// asLabel makes a text fit for RDM: printable ASCII, at most 32 bytes.
func asLabel(text string) string {
	var l rdm.Label
	_ = l.Parse([]byte(text)) // takes anything
	return string(l)
}
