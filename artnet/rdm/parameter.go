package rdm

import "fmt"

// Parameter is the data of a message as a type. Parse leaves nothing of what it
// held, keeps nothing of b, and leaves it as it was on an error.
type Parameter interface {
	AppendBinary(b []byte) ([]byte, error)
	Parse(b []byte) error
}

// None is data that must be empty.
type None struct{}

// AppendBinary appends nothing. The error is always nil.
func (None) AppendBinary(b []byte) ([]byte, error) { return b, nil }

// Parse reads nothing. Errors wrap ErrFormat.
func (*None) Parse(b []byte) error { return exactly(b, "this message", 0) }

// maker makes an empty Parameter.
type maker func() Parameter

func of[T any, P interface {
	*T
	Parameter
}]() Parameter {
	return P(new(T))
}

// shape is which data a parameter has with each class: request and response of
// GET (or of discovery) and of SET. nil: there is no such message.
type shape struct{ get, got, set, done maker }

// makerOf is what makes the data of a parameter with a class: nil where the
// standard has no such message. It is not known for parameters without types
// here.
func makerOf(p PID, c Class) (m maker, known bool) {
	s, known := parameters[p]
	if discovery := p <= PIDDiscUnMute; discovery != (c&^1 == Discovery) {
		return nil, known
	}
	switch c {
	case Get, Discovery:
		m = s.get
	case GetResponse, DiscoveryResponse:
		m = s.got
	case Set:
		m = s.set
	case SetResponse:
		m = s.done
	}
	return m, known
}

// parameters is ANSI E1.20 table A-3 for the parameters that have types here.
var parameters = map[PID]shape{
	PIDDiscUniqueBranch:          {get: of[Branch]},
	PIDDiscMute:                  {get: of[None], got: of[Mute]},
	PIDDiscUnMute:                {get: of[None], got: of[Mute]},
	PIDCommsStatus:               {of[None], of[CommsStatus], of[None], of[None]},
	PIDQueuedMessage:             {get: of[StatusType]}, // answered by another parameter
	PIDStatusMessages:            {get: of[StatusType], got: of[StatusMessages]},
	PIDSupportedParameters:       {get: of[None], got: of[PIDs]},
	PIDParameterDescription:      {get: of[PID], got: of[ParameterDescription]},
	PIDDeviceInfo:                {get: of[None], got: of[DeviceInfo]},
	PIDProductDetailIDList:       {get: of[None], got: of[ProductDetails]},
	PIDDeviceModelDescription:    {get: of[None], got: of[Label]},
	PIDManufacturerLabel:         {get: of[None], got: of[Label]},
	PIDDeviceLabel:               {of[None], of[Label], of[Label], of[None]},
	PIDSoftwareVersionLabel:      {get: of[None], got: of[Label]},
	PIDDMXPersonality:            {of[None], of[Personality], of[PersonalityNumber], of[None]},
	PIDDMXPersonalityDescription: {get: of[PersonalityNumber], got: of[PersonalityDescription]},
	PIDDMXStartAddress:           {of[None], of[StartAddress], of[StartAddress], of[None]},
	PIDSensorDefinition:          {get: of[SensorNumber], got: of[SensorDefinition]},
	PIDSensorValue:               {of[SensorNumber], of[SensorValue], of[SensorNumber], of[SensorValue]},
	PIDDeviceHours:               {of[None], of[Hours], of[Hours], of[None]},
	PIDLampHours:                 {of[None], of[Hours], of[Hours], of[None]},
	PIDIdentifyDevice:            {of[None], of[Identify], of[Identify], of[None]},
	PIDResetDevice:               {set: of[Reset], done: of[None]},
}

// Decode makes a Parameter of the data: a pointer to the type that the class
// and parameter have, or an *AckTimer or *NackReason by the response type. Of an
// ACK_OVERFLOW it is the part that is there. Errors wrap ErrPID, ErrFormat or
// ErrRange.
func (m *Message) Decode() (Parameter, error) {
	p, err := m.parameter()
	if err != nil {
		return nil, err
	}
	if err := p.Parse(m.Data); err != nil {
		return nil, fmt.Errorf("%v: %w", m, err)
	}
	return p, nil
}

func (m *Message) parameter() (Parameter, error) {
	if m.Class.IsResponse() {
		switch m.Response {
		case ResponseTimer:
			return new(AckTimer), nil
		case ResponseNack:
			return new(NackReason), nil
		}
	}
	if make, _ := makerOf(m.PID, m.Class); make != nil {
		return make(), nil
	}
	return nil, fmt.Errorf("rdm: %w: %v of %v", ErrPID, m.Class, m.PID)
}

// exactly checks the length of parameter data.
func exactly(b []byte, what string, need int) error {
	if len(b) != need {
		return fmt.Errorf("rdm: %w: got %d bytes for %s, need %d", ErrFormat, len(b), what, need)
	}
	return nil
}

// listOf checks the length of a list of records.
func listOf(b []byte, what string, size, most int) error {
	if len(b)%size != 0 || len(b) > size*most {
		return fmt.Errorf("rdm: %w: got %d bytes for %s, need a multiple of %d up to %d", ErrFormat, len(b), what, size, size*most)
	}
	return nil
}

// atMost checks the number of records to be encoded.
func atMost(n int, what string, most int) error {
	if n > most {
		return fmt.Errorf("rdm: %w: got %d of %s, need at most %d", ErrFormat, n, what, most)
	}
	return nil
}
