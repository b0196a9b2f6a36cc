package responder_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/responder"
)

var (
	desk  = rdm.NewUID(0x7ff0, 1)
	other = rdm.NewUID(0x7ff0, 2)
	tube  = rdm.NewUID(0x7ff1, 0x10)
	start = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
)

// model is an invented tube.
func model() responder.Model {
	return responder.Model{
		UID: tube, Number: 0x0102, Category: rdm.CategoryFixtureFixed, Details: rdm.ProductDetails{4}, Software: 0x01020304, SoftwareLabel: "1.2.3",
		Maker: "Prototype", Description: "Tube 4 ft", Label: "T1", Start: 101,
		Personalities: []responder.Personality{{Text: "1-cell", Slots: 4}, {Text: "16-cell", Slots: 64}, {Text: "none"}},
		Sensors: []responder.Sensor{
			{Definition: rdm.SensorDefinition{Type: rdm.SensorTemperature, Unit: rdm.UnitCelsius, Prefix: rdm.PrefixDeci, RangeMax: 1000, NormalMax: 700, Recorded: rdm.SensorLowAndTop, Description: "LED board"}, Value: 412},
			{Definition: rdm.SensorDefinition{Type: rdm.SensorVoltage, Unit: rdm.UnitVoltDC, Prefix: rdm.PrefixCenti, RangeMax: 1700, Description: "battery"}, Value: 1480},
		},
		Hours: 1234, HasLampHours: true, LampHours: 99,
		Own: []rdm.ParameterDescription{{PID: 0x8001, Size: 2, DataType: rdm.DataUint16, Classes: rdm.ClassesGet, Description: "modulation"}},
	}
}

func newDevice(t testing.TB, change func(*responder.Model)) *responder.Responder {
	t.Helper()
	m := model()
	if change != nil {
		change(&m)
	}
	r, err := responder.New(m)
	require.NoError(t, err)
	return r
}

var transaction uint8

func request(class rdm.Class, pid rdm.PID, data ...byte) rdm.Message {
	transaction++
	return rdm.Message{Destination: tube, Source: desk, Transaction: transaction, PortID: 1, Class: class, PID: pid, Data: data}
}

// ask gives what a device answers, which must be by the standard; nil for
// nothing.
func ask(t testing.TB, r *responder.Responder, now time.Time, m rdm.Message) *rdm.Message {
	t.Helper()
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	answer, _ := r.Answer(now, b)
	if answer == nil {
		return nil
	}
	var got rdm.Message
	require.NoError(t, got.Parse(answer))
	require.NoError(t, got.Check())
	require.True(t, got.Answers(&m), "%v\nto %v", &got, &m)
	return &got
}

// nack is the reason of a refusal.
func nack(t testing.TB, m *rdm.Message) rdm.NackReason {
	t.Helper()
	require.NotNil(t, m)
	require.Equal(t, rdm.ResponseNack, m.Response, "%v", m)
	p, err := m.Decode()
	require.NoError(t, err)
	return *p.(*rdm.NackReason)
}

func get[P rdm.Parameter](t testing.TB, r *responder.Responder, pid rdm.PID, data ...byte) P {
	t.Helper()
	m := ask(t, r, start, request(rdm.Get, pid, data...))
	require.NotNil(t, m)
	require.Equal(t, rdm.ResponseAck, m.Response, "%v", m)
	p, err := m.Decode()
	require.NoError(t, err)
	return p.(P)
}

func TestTellsWhatItIs(t *testing.T) {
	r := newDevice(t, nil)
	require.Equal(t, &rdm.DeviceInfo{
		Protocol: 0x0100, Model: 0x0102, Category: rdm.CategoryFixtureFixed, Software: 0x01020304, Footprint: 4,
		Personality: 1, Personalities: 3, StartAddress: 101, Sensors: 2,
	}, get[*rdm.DeviceInfo](t, r, rdm.PIDDeviceInfo))
	for pid, want := range map[rdm.PID]rdm.Label{
		rdm.PIDSoftwareVersionLabel: "1.2.3", rdm.PIDManufacturerLabel: "Prototype", rdm.PIDDeviceModelDescription: "Tube 4 ft", rdm.PIDDeviceLabel: "T1",
	} {
		require.Equal(t, &want, get[*rdm.Label](t, r, pid))
	}
	require.Equal(t, &rdm.ProductDetails{4}, get[*rdm.ProductDetails](t, r, rdm.PIDProductDetailIDList))
	require.Equal(t, &rdm.Personality{Current: 1, Count: 3}, get[*rdm.Personality](t, r, rdm.PIDDMXPersonality))
	require.Equal(t, &rdm.PersonalityDescription{Number: 2, Slots: 64, Text: "16-cell"}, get[*rdm.PersonalityDescription](t, r, rdm.PIDDMXPersonalityDescription, 2))
	require.Equal(t, rdm.Hours(1234), *get[*rdm.Hours](t, r, rdm.PIDDeviceHours))
	require.Equal(t, rdm.Hours(99), *get[*rdm.Hours](t, r, rdm.PIDLampHours))
	require.Equal(t, rdm.Identify(false), *get[*rdm.Identify](t, r, rdm.PIDIdentifyDevice))
	battery := get[*rdm.SensorDefinition](t, r, rdm.PIDSensorDefinition, 1)
	require.Equal(t, "14.8 V DC", battery.Text(get[*rdm.SensorValue](t, r, rdm.PIDSensorValue, 1).Present))
	require.Equal(t, rdm.Label("modulation"), get[*rdm.ParameterDescription](t, r, rdm.PIDParameterDescription, 0x80, 0x01).Description)
}

// The minimum set need not be listed; what is listed is there, and nothing else
// is. ANSI E1.20 section 10.4.1.
func TestSupportedParameters(t *testing.T) {
	r := newDevice(t, nil)
	list := get[*rdm.PIDs](t, r, rdm.PIDSupportedParameters)
	require.Equal(t, &rdm.PIDs{
		rdm.PIDCommsStatus, rdm.PIDQueuedMessage, rdm.PIDProductDetailIDList, rdm.PIDDeviceModelDescription, rdm.PIDManufacturerLabel, rdm.PIDDeviceLabel,
		rdm.PIDDMXPersonality, rdm.PIDDMXPersonalityDescription, rdm.PIDSensorDefinition, rdm.PIDSensorValue, rdm.PIDDeviceHours, rdm.PIDLampHours, 0x8001,
	}, list)
	bare := newDevice(t, func(m *responder.Model) {
		m.Sensors, m.Own, m.Details, m.HasLampHours = nil, nil, nil, false
		m.Personalities = []responder.Personality{{Text: "fan"}}
	})
	list = get[*rdm.PIDs](t, bare, rdm.PIDSupportedParameters)
	for _, pid := range []rdm.PID{rdm.PIDSensorValue, rdm.PIDLampHours, rdm.PIDProductDetailIDList, rdm.PIDDMXStartAddress} {
		require.NotContains(t, *list, pid)
		require.Equal(t, rdm.NackUnknownPID, nack(t, ask(t, bare, start, request(rdm.Get, pid))))
	}
	require.Equal(t, rdm.NoStartAddress, get[*rdm.DeviceInfo](t, bare, rdm.PIDDeviceInfo).StartAddress)
}

func TestIsSet(t *testing.T) {
	r := newDevice(t, nil)
	set := func(pid rdm.PID, data ...byte) {
		t.Helper()
		require.Equal(t, rdm.ResponseAck, ask(t, r, start, request(rdm.Set, pid, data...)).Response)
	}
	set(rdm.PIDDeviceLabel, []byte("lane 4")...)
	set(rdm.PIDDMXPersonality, 2)
	set(rdm.PIDDMXStartAddress, 1, 0x41) // 321
	set(rdm.PIDIdentifyDevice, 1)
	require.Equal(t, responder.State{Label: "lane 4", Personality: 2, Start: 321, Identify: true}, r.State())
	require.Equal(t, uint16(64), get[*rdm.DeviceInfo](t, r, rdm.PIDDeviceInfo).Footprint)
	set(rdm.PIDDMXStartAddress, 1, 0xc1) // 449: 64 slots end at 512
	set(rdm.PIDDMXPersonality, 1)
	set(rdm.PIDDMXStartAddress, 1, 0xfd) // 509
	set(rdm.PIDDMXPersonality, 2)
	require.Equal(t, rdm.StartAddress(449), r.State().Start, "moved down so that all of it fits")
	set(rdm.PIDDMXPersonality, 3)
	require.Equal(t, rdm.NoStartAddress, get[*rdm.DeviceInfo](t, r, rdm.PIDDeviceInfo).StartAddress, "no slots, no address")
	set(rdm.PIDLampHours, 0, 0, 0, 0)
	require.Zero(t, *get[*rdm.Hours](t, r, rdm.PIDLampHours))
	r.Sense(0, 500)
	r.Sense(0, 300)
	r.Sense(9, 1)
	require.Equal(t, &rdm.SensorValue{Present: 300, Lowest: 300, Highest: 500}, get[*rdm.SensorValue](t, r, rdm.PIDSensorValue, 0))
	set(rdm.PIDSensorValue, 0xff)
	require.Equal(t, &rdm.SensorValue{Present: 300, Lowest: 300, Highest: 300}, get[*rdm.SensorValue](t, r, rdm.PIDSensorValue, 0))
}

// ANSI E1.20 table A-17: every refusal has the reason that fits.
func TestRefusals(t *testing.T) {
	open, locked := newDevice(t, nil), newDevice(t, func(m *responder.Model) { m.Locked = true })
	for _, c := range []struct {
		what  string
		r     *responder.Responder
		class rdm.Class
		pid   rdm.PID
		data  string
		want  rdm.NackReason
	}{
		{"a parameter it does not have", open, rdm.Get, 0x0603, "", rdm.NackUnknownPID},
		{"a maker's own that is only described", open, rdm.Get, 0x8001, "", rdm.NackUnknownPID},
		{"a SET of what can only be got", open, rdm.Set, rdm.PIDDeviceInfo, "", rdm.NackClass},
		{"a SET of QUEUED_MESSAGE", open, rdm.Set, rdm.PIDQueuedMessage, "\x02", rdm.NackClass},
		{"data where none belongs", open, rdm.Get, rdm.PIDDeviceInfo, "x", rdm.NackFormat},
		{"an address of one byte", open, rdm.Set, rdm.PIDDMXStartAddress, "\x01", rdm.NackFormat},
		{"address 0", open, rdm.Set, rdm.PIDDMXStartAddress, "\x00\x00", rdm.NackRange},
		{"address 513", open, rdm.Set, rdm.PIDDMXStartAddress, "\x02\x01", rdm.NackRange},
		{"an address too high for its slots", open, rdm.Set, rdm.PIDDMXStartAddress, "\x01\xfe", rdm.NackRange},
		{"no address", open, rdm.Set, rdm.PIDDMXStartAddress, "\xff\xff", rdm.NackRange},
		{"personality 0", open, rdm.Set, rdm.PIDDMXPersonality, "\x00", rdm.NackRange},
		{"personality 4 of 3", open, rdm.Set, rdm.PIDDMXPersonality, "\x04", rdm.NackRange},
		{"the text of personality 4 of 3", open, rdm.Get, rdm.PIDDMXPersonalityDescription, "\x04", rdm.NackRange},
		{"identify 2", open, rdm.Set, rdm.PIDIdentifyDevice, "\x02", rdm.NackRange},
		{"sensor 2 of 0 and 1", open, rdm.Get, rdm.PIDSensorValue, "\x02", rdm.NackRange},
		{"the definition of sensor 2", open, rdm.Get, rdm.PIDSensorDefinition, "\x02", rdm.NackRange},
		{"every sensor at once", open, rdm.Get, rdm.PIDSensorValue, "\xff", rdm.NackRange},
		{"what its own parameter 0x8002 is", open, rdm.Get, rdm.PIDParameterDescription, "\x80\x02", rdm.NackRange},
		{"queued messages of no type", open, rdm.Get, rdm.PIDQueuedMessage, "\x00", rdm.NackRange},
		{"a locked address", locked, rdm.Set, rdm.PIDDMXStartAddress, "\x00\x01", rdm.NackWriteProtect},
		{"a locked personality", locked, rdm.Set, rdm.PIDDMXPersonality, "\x02", rdm.NackWriteProtect},
		{"a locked label", locked, rdm.Set, rdm.PIDDeviceLabel, "x", rdm.NackWriteProtect},
	} {
		t.Run(c.what, func(t *testing.T) {
			before := c.r.State()
			require.Equal(t, c.want, nack(t, ask(t, c.r, start, request(c.class, c.pid, []byte(c.data)...))))
			require.Equal(t, before, c.r.State(), "refused, so nothing changed")
		})
	}
	for _, sub := range []uint16{1, rdm.LastSubDevice, rdm.EverySubDevice} {
		m := request(rdm.Set, rdm.PIDIdentifyDevice, 1)
		m.SubDevice = sub
		require.Equal(t, rdm.NackSubDevice, nack(t, ask(t, open, start, m)), "there are no sub-devices")
	}
	require.False(t, open.State().Identify)
}

func TestAnswersOnlyWhatIsForIt(t *testing.T) {
	r := newDevice(t, nil)
	silent := func(m rdm.Message) {
		t.Helper()
		require.Nil(t, ask(t, r, start, m))
	}
	m := request(rdm.Get, rdm.PIDDeviceInfo)
	m.Destination = other
	silent(m)
	m.Destination = rdm.Broadcast()
	silent(m)
	m.Destination, m.Class = tube, rdm.GetResponse
	silent(m)
	m.Class = 0x40
	silent(m)
	m = request(rdm.Set, rdm.PIDIdentifyDevice, 1)
	m.Destination = rdm.BroadcastTo(tube.Manufacturer())
	silent(m)
	require.True(t, r.State().Identify, "a broadcast is obeyed and not answered")
	m = request(rdm.Set, rdm.PIDIdentifyDevice, 0)
	m.Destination = rdm.BroadcastTo(0x1234)
	silent(m)
	require.True(t, r.State().Identify, "of another maker")
}

func TestCountsWhatItCouldNotRead(t *testing.T) {
	r := newDevice(t, nil)
	m := request(rdm.Get, rdm.PIDDeviceInfo)
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	length := slices.Clone(b)
	length[2]++
	sum := slices.Clone(b)
	sum[len(sum)-1]++
	for _, bad := range [][]byte{b[:20], length, sum, sum, {0}, nil} {
		answer, _ := r.Answer(start, bad)
		require.Nil(t, answer)
	}
	require.Equal(t, &rdm.CommsStatus{Short: 1, LengthMismatch: 1, ChecksumFail: 2}, get[*rdm.CommsStatus](t, r, rdm.PIDCommsStatus))
	require.Equal(t, rdm.ResponseAck, ask(t, r, start, request(rdm.Set, rdm.PIDCommsStatus)).Response)
	require.Equal(t, &rdm.CommsStatus{}, get[*rdm.CommsStatus](t, r, rdm.PIDCommsStatus))
}

// A list of 200 parameters does not fit one message: the same GET is repeated
// and the parts joined. ANSI E1.20 section 6.3.2.
func TestLongListComesInParts(t *testing.T) {
	r := newDevice(t, func(m *responder.Model) {
		m.Own = nil
		for pid := rdm.PID(0x8000); pid < 0x8000+200; pid++ {
			m.Own = append(m.Own, rdm.ParameterDescription{PID: pid})
		}
	})
	var joined []byte
	parts := 0
	for more := true; more; parts++ {
		m := ask(t, r, start, request(rdm.Get, rdm.PIDSupportedParameters))
		joined = append(joined, m.Data...)
		more = m.Response == rdm.ResponseOverflow
	}
	require.Equal(t, 2, parts)
	require.Len(t, joined, 2*(12+200))
	require.Equal(t, []byte{0x80, 199}, joined[len(joined)-2:])

	r.SetFault(responder.Fault{Most: 3})
	first := ask(t, r, start, request(rdm.Get, rdm.PIDDeviceModelDescription))
	require.Equal(t, rdm.ResponseOverflow, first.Response)
	require.Equal(t, "Tub", string(first.Data))
	m := request(rdm.Get, rdm.PIDDeviceModelDescription)
	m.Source = other
	require.Equal(t, "Tub", string(ask(t, r, start, m).Data), "somebody else starts from the start")
	require.Equal(t, "Tub", string(ask(t, r, start, request(rdm.Get, rdm.PIDDeviceModelDescription)).Data), "and what was between ended it")
}

func TestFaults(t *testing.T) {
	r := newDevice(t, nil)
	info := func() rdm.Message { return request(rdm.Get, rdm.PIDDeviceInfo) }
	r.SetFault(responder.Fault{Silent: true, Answers: 2})
	require.Nil(t, ask(t, r, start, info()))
	require.Nil(t, ask(t, r, start, info()))
	require.NotNil(t, ask(t, r, start, info()), "two were faulty, and it mended itself")

	r.SetFault(responder.Fault{Deaf: true})
	m := request(rdm.Set, rdm.PIDIdentifyDevice, 1)
	require.Nil(t, ask(t, r, start, m))
	require.False(t, r.State().Identify)

	r.SetFault(responder.Fault{Refuse: true, Reason: rdm.NackHardwareFault})
	require.Equal(t, rdm.NackHardwareFault, nack(t, ask(t, r, start, m)))
	require.False(t, r.State().Identify)

	r.SetFault(responder.Fault{BadChecksum: true, Slow: time.Second})
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	answer, after := r.Answer(start, b)
	require.Equal(t, time.Second, after)
	var got rdm.Message
	require.ErrorIs(t, got.Parse(answer), rdm.ErrChecksum)
}

// ANSI E1.20 section 6.3.3: an answer that was put off waits to be asked for
// with QUEUED_MESSAGE, and every answer counts what waits.
func TestPutsOff(t *testing.T) {
	r := newDevice(t, nil)
	r.SetFault(responder.Fault{Timer: 250 * time.Millisecond, Answers: 1})
	m := ask(t, r, start, request(rdm.Set, rdm.PIDDeviceLabel, []byte("late")...))
	require.Equal(t, rdm.ResponseTimer, m.Response)
	p, err := m.Decode()
	require.NoError(t, err)
	require.Equal(t, 300*time.Millisecond, p.(*rdm.AckTimer).Duration(), "tenths of a second, rounded up")

	early := ask(t, r, start.Add(100*time.Millisecond), request(rdm.Get, rdm.PIDQueuedMessage, 2))
	require.Equal(t, rdm.PIDStatusMessages, early.PID)
	require.Empty(t, early.Data)
	require.Zero(t, early.Count)
	late := start.Add(300 * time.Millisecond)
	require.Equal(t, uint8(1), ask(t, r, late, request(rdm.Get, rdm.PIDDeviceInfo)).Count)
	for _, kind := range []byte{2, 1, 1} { // then the last once more
		got := ask(t, r, late, request(rdm.Get, rdm.PIDQueuedMessage, kind))
		require.Equal(t, rdm.PIDDeviceLabel, got.PID)
		require.Equal(t, rdm.SetResponse, got.Class)
		require.Zero(t, got.Count)
	}
	require.Equal(t, rdm.PIDStatusMessages, ask(t, r, late, request(rdm.Get, rdm.PIDQueuedMessage, 2)).PID)

	r.SetFault(responder.Fault{NoQueue: true})
	require.Equal(t, rdm.NackUnknownPID, nack(t, ask(t, r, late, request(rdm.Get, rdm.PIDQueuedMessage, 2))))
}

func TestModelIsChecked(t *testing.T) {
	for _, c := range []struct {
		change func(*responder.Model)
		want   string
	}{
		{func(m *responder.Model) { m.UID = rdm.Broadcast() }, "no device's UID"},
		{func(m *responder.Model) { m.Personalities = nil }, "0 personalities"},
		{func(m *responder.Model) { m.Personalities[0].Slots = 513 }, "513 slots"},
		{func(m *responder.Model) { m.Label = "na\nme" }, "bad label"},
		{func(m *responder.Model) { m.Sensors = make([]responder.Sensor, 255) }, "255 sensors"},
		{func(m *responder.Model) { m.Own[0].PID = 0x60 }, "no parameter of a maker's own"},
	} {
		m := model()
		c.change(&m)
		_, err := responder.New(m)
		require.ErrorContains(t, err, c.want)
	}
}

// Any bytes at all: never a panic, and an answer that is by the standard or
// none. What was heard may change the device, never break it.
func FuzzAnswer(f *testing.F) {
	for _, m := range []rdm.Message{
		request(rdm.Get, rdm.PIDDeviceInfo), request(rdm.Set, rdm.PIDDMXStartAddress, 0, 9), request(rdm.Get, rdm.PIDQueuedMessage, 2),
		request(rdm.Set, rdm.PIDDMXPersonality, 2), request(rdm.Get, rdm.PIDSupportedParameters), request(rdm.Set, rdm.PIDSensorValue, 0xff),
	} {
		b, err := m.AppendBinary(nil)
		require.NoError(f, err)
		f.Add(b, uint8(m.Class), uint16(m.PID), []byte(m.Data), uint8(0))
		f.Add(b[:len(b)-1], uint8(m.Class), uint16(m.PID), []byte(m.Data), uint8(1))
	}
	f.Fuzz(func(t *testing.T, raw []byte, class uint8, pid uint16, data []byte, fault uint8) {
		r := newDevice(t, nil)
		r.SetFault(responder.Fault{Timer: time.Duration(fault&1) * time.Second, Most: int(fault >> 1), NoQueue: fault&0x10 != 0})
		heard := func(b []byte) {
			answer, _ := r.Answer(start, b)
			if answer == nil {
				return
			}
			if _, err := rdm.ParseBranchReply(answer); err == nil {
				return
			}
			var got rdm.Message
			require.NoError(t, got.Parse(answer))
			var asked rdm.Message
			require.NoError(t, asked.Parse(b), "what cannot be read is not answered")
			if asked.Check() == nil { // what broke a rule is refused, and repeated as it was
				require.NoError(t, got.Check())
			}
			require.True(t, got.Answers(&asked))
			if fault>>1 == 0 && got.Response != rdm.ResponseOverflow { // else a part of it
				_, err := got.Decode()
				require.NoError(t, err)
			}
		}
		heard(raw)
		m := rdm.Message{Destination: tube, Source: desk, PortID: 1, Class: rdm.Class(class), PID: rdm.PID(pid), Data: data[:min(len(data), rdm.MaxData)]}
		b, err := m.AppendBinary(nil)
		require.NoError(t, err)
		heard(b)
		heard(b)
		s := r.State()
		require.True(t, s.Personality >= 1 && s.Personality <= 3)
		require.True(t, s.Start.Valid())
	})
}
