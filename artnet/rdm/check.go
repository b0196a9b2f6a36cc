package rdm

import "fmt"

// Check judges a message by the rules of ANSI E1.20 section 6.2 that one message
// alone can break. Parse does not ask for them, so that what a device really
// sends can be seen. Errors wrap ErrRule.
func (m *Message) Check() error {
	for _, rule := range []struct {
		broken bool
		words  string
	}{
		{!m.Class.valid(), "6.2.10.1: no such command class"},
		{m.Source.IsBroadcast(), "6.2.5: a message comes from one device"},
		{m.Source == UID{}, "6.2.5: a message comes from a device"},
		{m.SubDevice > LastSubDevice && m.SubDevice != EverySubDevice, "6.2.9: sub-devices are 0..512 and 65535"},
		{m.SubDevice != RootDevice && m.Class&^1 == Discovery, "6.2.9: discovery is of root devices"},
		{len(m.Data) > MaxData, "6.2.10.3: at most 231 bytes of data"},
	} {
		if rule.broken {
			return m.broken(rule.words)
		}
	}
	if m.Class.IsResponse() {
		return m.checkResponse()
	}
	return m.checkRequest()
}

func (m *Message) checkRequest() error {
	switch {
	case m.PortID == 0:
		return m.broken("6.2.7: ports are 1..255")
	case m.Count != 0:
		return m.broken("6.2.8: a request counts no messages")
	case m.SubDevice == EverySubDevice && m.Class != Set: // a response repeats what was asked
		return m.broken("6.2.9: only SET requests go to every sub-device")
	case m.Class == Get && m.Destination.IsBroadcast():
		return m.broken("6.2.4: a GET goes to one device, since nobody answers a broadcast")
	}
	if make, known := makerOf(m.PID, m.Class); known && make == nil {
		return m.broken("table A-3: no such command class for this parameter")
	}
	return nil
}

func (m *Message) checkResponse() error {
	switch {
	case m.Destination.IsBroadcast():
		return m.broken("6.2.4: a response goes to one device")
	case m.Response > ResponseOverflow:
		return m.broken("6.2.7: no such response type")
	case m.Class == DiscoveryResponse && m.Response != ResponseAck:
		return m.broken("7.6: discovery is answered with ACK or not at all")
	case (m.Response == ResponseTimer || m.Response == ResponseNack) && len(m.Data) != responseDataSize:
		return m.broken("6.3: ACK_TIMER and NACK_REASON carry 2 bytes")
	}
	return nil
}

func (m *Message) broken(words string) error {
	return fmt.Errorf("rdm: %v: %w, section %s", m, ErrRule, words)
}
