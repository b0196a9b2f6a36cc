package rdm_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
)

func ptr[T any](v T) *T { return &v }

// parameterCases are one message of every parameter and class that has a type,
// and its data as the tables of ANSI E1.20 section 10 lay it out (numbers of
// sections from memory). A dissector reads the same bytes in
// TestDissectorReadsOurMessages.
var parameterCases = []struct {
	section string
	class   rdm.Class
	pid     rdm.PID
	data    rdm.Parameter
	bytes   string
}{
	{"7.5", rdm.Discovery, rdm.PIDDiscUniqueBranch, &rdm.Branch{Lower: rdm.NewUID(0x7ff0, 1), Upper: rdm.NewUID(0x7fff, 0xfffffffe)},
		"\x7f\xf0\x00\x00\x00\x01" + "\x7f\xff\xff\xff\xff\xfe"},
	{"7.6", rdm.Discovery, rdm.PIDDiscMute, &rdm.None{}, ""},
	{"7.6", rdm.DiscoveryResponse, rdm.PIDDiscMute, &rdm.Mute{Flags: rdm.MuteSubDevices}, "\x00\x02"},
	{"7.6", rdm.DiscoveryResponse, rdm.PIDDiscUnMute, &rdm.Mute{Flags: rdm.MuteManagedProxy | rdm.MuteProxied, Binding: responder},
		"\x00\x09" + "\x7f\xf0\x00\x00\x00\x01"},

	{"10.2", rdm.GetResponse, rdm.PIDCommsStatus, &rdm.CommsStatus{Short: 1, LengthMismatch: 0x203, ChecksumFail: 4}, "\x00\x01" + "\x02\x03" + "\x00\x04"},
	{"10.2", rdm.Set, rdm.PIDCommsStatus, &rdm.None{}, ""},
	{"10.3.1", rdm.Get, rdm.PIDQueuedMessage, ptr(rdm.StatusAdvisory), "\x02"},
	{"10.3.2", rdm.Get, rdm.PIDStatusMessages, ptr(rdm.StatusError), "\x04"},
	{"10.3.2", rdm.GetResponse, rdm.PIDStatusMessages, &rdm.StatusMessages{
		{SubDevice: 3, Type: rdm.StatusWarning, ID: 0x0021, Value1: -2, Value2: 300}, {Type: rdm.StatusErrorCleared, ID: 0x8001},
	}, "\x00\x03" + "\x03" + "\x00\x21" + "\xff\xfe" + "\x01\x2c" + "\x00\x00" + "\x14" + "\x80\x01" + "\x00\x00" + "\x00\x00"},

	{"10.4.1", rdm.Get, rdm.PIDSupportedParameters, &rdm.None{}, ""},
	{"10.4.1", rdm.GetResponse, rdm.PIDSupportedParameters, &rdm.PIDs{rdm.PIDDeviceLabel, 0x8001}, "\x00\x82" + "\x80\x01"},
	{"10.4.2", rdm.Get, rdm.PIDParameterDescription, ptr(rdm.PID(0x8001)), "\x80\x01"},
	{"10.4.2", rdm.GetResponse, rdm.PIDParameterDescription, &rdm.ParameterDescription{
		PID: 0x8001, Size: 2, DataType: rdm.DataUint16, Classes: rdm.ClassesGetSet, Unit: rdm.UnitHertz, Prefix: rdm.PrefixKilo,
		Least: 1, Most: 0x01020304, Default: 25, Description: "Modulation",
	}, "\x80\x01" + "\x02" + "\x05" + "\x03" + "\x00" + "\x08" + "\x13" + "\x00\x00\x00\x01" + "\x01\x02\x03\x04" + "\x00\x00\x00\x19" + "Modulation"},

	{"10.5.1", rdm.Get, rdm.PIDDeviceInfo, &rdm.None{}, ""},
	{"10.5.1", rdm.GetResponse, rdm.PIDDeviceInfo, &rdm.DeviceInfo{
		Protocol: 0x0100, Model: 0x1234, Category: rdm.CategoryDimmerLED, Software: 0xa1b2c3d4, Footprint: 512, Personality: 4, Personalities: 5,
		StartAddress: rdm.NoStartAddress, SubDevices: 258, Sensors: 7,
	}, "\x01\x00" + "\x12\x34" + "\x05\x09" + "\xa1\xb2\xc3\xd4" + "\x02\x00" + "\x04" + "\x05" + "\xff\xff" + "\x01\x02" + "\x07"},
	{"10.5.2", rdm.GetResponse, rdm.PIDProductDetailIDList, &rdm.ProductDetails{4, 0x0102}, "\x00\x04" + "\x01\x02"},
	{"10.5.3", rdm.GetResponse, rdm.PIDDeviceModelDescription, ptr(rdm.Label("Tube 4 ft")), "Tube 4 ft"},
	{"10.5.4", rdm.GetResponse, rdm.PIDManufacturerLabel, ptr(rdm.Label("Prototype maker")), "Prototype maker"},
	{"10.5.5", rdm.GetResponse, rdm.PIDDeviceLabel, ptr(rdm.Label("key, left")), "key, left"},
	{"10.5.5", rdm.Set, rdm.PIDDeviceLabel, ptr(rdm.Label(strings.Repeat("l", 32))), strings.Repeat("l", 32)},
	{"10.5.5", rdm.SetResponse, rdm.PIDDeviceLabel, &rdm.None{}, ""},
	{"10.5.9", rdm.GetResponse, rdm.PIDSoftwareVersionLabel, ptr(rdm.Label("1.2.3")), "1.2.3"},

	{"10.6.1", rdm.GetResponse, rdm.PIDDMXPersonality, &rdm.Personality{Current: 2, Count: 6}, "\x02\x06"},
	{"10.6.1", rdm.Set, rdm.PIDDMXPersonality, ptr(rdm.PersonalityNumber(3)), "\x03"},
	{"10.6.2", rdm.Get, rdm.PIDDMXPersonalityDescription, ptr(rdm.PersonalityNumber(2)), "\x02"},
	{"10.6.2", rdm.GetResponse, rdm.PIDDMXPersonalityDescription, &rdm.PersonalityDescription{Number: 2, Slots: 0x0105, Text: "16 bit"}, "\x02" + "\x01\x05" + "16 bit"},
	{"10.6.3", rdm.GetResponse, rdm.PIDDMXStartAddress, ptr(rdm.StartAddress(0x0101)), "\x01\x01"},
	{"10.6.3", rdm.Set, rdm.PIDDMXStartAddress, ptr(rdm.StartAddress(512)), "\x02\x00"},

	{"10.7.1", rdm.Get, rdm.PIDSensorDefinition, ptr(rdm.SensorNumber(3)), "\x03"},
	{"10.7.1", rdm.GetResponse, rdm.PIDSensorDefinition, &rdm.SensorDefinition{
		Number: 3, Type: rdm.SensorTemperature, Unit: rdm.UnitCelsius, Prefix: rdm.PrefixDeci, RangeMin: -400, RangeMax: 1250, NormalMin: 0, NormalMax: 800,
		Recorded: rdm.SensorRecords | rdm.SensorLowAndTop, Description: "LED board",
	}, "\x03" + "\x00" + "\x01" + "\x01" + "\xfe\x70" + "\x04\xe2" + "\x00\x00" + "\x03\x20" + "\x03" + "LED board"},
	{"10.7.2", rdm.Get, rdm.PIDSensorValue, ptr(rdm.SensorNumber(3)), "\x03"},
	{"10.7.2", rdm.GetResponse, rdm.PIDSensorValue, &rdm.SensorValue{Number: 3, Present: 453, Lowest: -35, Highest: 612, Recorded: 1},
		"\x03" + "\x01\xc5" + "\xff\xdd" + "\x02\x64" + "\x00\x01"},
	{"10.7.2", rdm.Set, rdm.PIDSensorValue, ptr(rdm.EverySensor), "\xff"},
	{"10.7.2", rdm.SetResponse, rdm.PIDSensorValue, &rdm.SensorValue{Number: 3}, "\x03" + "\x00\x00" + "\x00\x00" + "\x00\x00" + "\x00\x00"},

	{"10.8.1", rdm.GetResponse, rdm.PIDDeviceHours, ptr(rdm.Hours(0x00012345)), "\x00\x01\x23\x45"},
	{"10.8.2", rdm.GetResponse, rdm.PIDLampHours, ptr(rdm.Hours(70000)), "\x00\x01\x11\x70"},
	{"10.8.2", rdm.Set, rdm.PIDLampHours, ptr(rdm.Hours(0)), "\x00\x00\x00\x00"},

	{"10.11.1", rdm.GetResponse, rdm.PIDIdentifyDevice, ptr(rdm.Identify(true)), "\x01"},
	{"10.11.1", rdm.Set, rdm.PIDIdentifyDevice, ptr(rdm.Identify(false)), "\x00"},
	{"10.11.2", rdm.Set, rdm.PIDResetDevice, ptr(rdm.ResetCold), "\xff"},
	{"10.11.2", rdm.SetResponse, rdm.PIDResetDevice, &rdm.None{}, ""},
}

func TestParameters(t *testing.T) {
	for _, c := range parameterCases {
		t.Run(c.section+" "+c.class.String()+" "+c.pid.String(), func(t *testing.T) {
			b, err := c.data.AppendBinary([]byte("before"))
			require.NoError(t, err)
			require.Equal(t, "before"+c.bytes, string(b))

			m := rdm.Message{Class: c.class, PID: c.pid, Data: []byte(c.bytes)}
			got, err := m.Decode()
			require.NoError(t, err)
			require.Equal(t, c.data, got)

			// A byte more than the longest, and one fewer, are format errors
			// where the length is fixed. What is used stays as it was.
			for _, bad := range []string{c.bytes + strings.Repeat("x", 232-len(c.bytes)), c.bytes[:max(len(c.bytes), 1)-1]} {
				m.Data = []byte(bad)
				if _, err := m.Decode(); err == nil {
					continue // lists and labels have no fixed length
				}
				require.ErrorIs(t, got.Parse(m.Data), rdm.ErrFormat)
				require.Equal(t, c.data, got)
			}
		})
	}
}

// Every type makes room for another that was in it.
func TestParametersLeaveNothingOfTheLast(t *testing.T) {
	list := rdm.StatusMessages{{ID: 9}, {ID: 8}, {ID: 7}}
	require.NoError(t, list.Parse([]byte("\x00\x01\x02\x00\x03\x00\x04\x00\x05")))
	require.Equal(t, rdm.StatusMessages{{SubDevice: 1, Type: 2, ID: 3, Value1: 4, Value2: 5}}, list)
	pids := rdm.PIDs{1, 2, 3}
	require.NoError(t, pids.Parse(nil))
	require.Empty(t, pids)
	d := rdm.PersonalityDescription{Number: 1, Slots: 2, Text: "long text"}
	require.NoError(t, d.Parse([]byte("\x03\x00\x04b")))
	require.Equal(t, rdm.PersonalityDescription{Number: 3, Slots: 4, Text: "b"}, d)
	mute := rdm.Mute{Binding: responder}
	require.NoError(t, mute.Parse([]byte{0, 0}))
	require.Equal(t, rdm.Mute{}, mute)
}

// Lengths and values that are refused, each with the NACK reason that a
// responder has for it: ErrFormat is "format error", ErrRange "data out of
// range".
func TestParametersRefuse(t *testing.T) {
	for _, c := range []struct {
		section, name string
		data          rdm.Parameter
		in            string
		err           error
	}{
		{"10.5.1", "DEVICE_INFO of 18 bytes", new(rdm.DeviceInfo), strings.Repeat("\x00", 18), rdm.ErrFormat},
		{"10.5.1", "DEVICE_INFO of 20 bytes", new(rdm.DeviceInfo), strings.Repeat("\x00", 20), rdm.ErrFormat},
		{"10.5.2", "13 bytes of product details", new(rdm.ProductDetails), strings.Repeat("\x00", 13), rdm.ErrFormat},
		{"10.5.2", "7 product details", new(rdm.ProductDetails), strings.Repeat("\x00", 14), rdm.ErrFormat},
		{"10.5.2", "6 product details", new(rdm.ProductDetails), strings.Repeat("\x00", 12), nil},
		{"10.4.1", "115 parameters", new(rdm.PIDs), strings.Repeat("\x00", 230), nil},
		{"10.4.1", "half a parameter", new(rdm.PIDs), "\x00", rdm.ErrFormat},
		{"10.4.2", "19 bytes of description", new(rdm.ParameterDescription), strings.Repeat("\x00", 19), rdm.ErrFormat},
		{"10.4.2", "a description of 33 bytes", new(rdm.ParameterDescription), strings.Repeat("\x00", 53), rdm.ErrFormat},
		{"10.3.2", "25 status messages", new(rdm.StatusMessages), strings.Repeat("\x00", 225), nil},
		{"10.3.2", "26 status messages", new(rdm.StatusMessages), strings.Repeat("\x00", 234), rdm.ErrFormat},
		{"10.3.2", "a status type without a meaning", new(rdm.StatusType), "\x05", rdm.ErrRange},
		{"10.3.2", "a status type that is only told", new(rdm.StatusType), "\x12", rdm.ErrRange},
		{"10.6.1", "personality 0", new(rdm.PersonalityNumber), "\x00", rdm.ErrRange},
		{"10.6.3", "start address 0", new(rdm.StartAddress), "\x00\x00", rdm.ErrRange},
		{"10.6.3", "start address 513", new(rdm.StartAddress), "\x02\x01", rdm.ErrRange},
		{"10.6.3", "start address of a device without slots", new(rdm.StartAddress), "\xff\xff", nil},
		{"10.7.1", "a sensor of 12 bytes", new(rdm.SensorDefinition), strings.Repeat("\x00", 12), rdm.ErrFormat},
		{"10.7.1", "a sensor without a description", new(rdm.SensorDefinition), strings.Repeat("\x00", 13), nil},
		{"10.7.2", "a reading of 7 bytes", new(rdm.SensorValue), strings.Repeat("\x00", 7), rdm.ErrFormat},
		{"10.11.1", "identify 2", new(rdm.Identify), "\x02", rdm.ErrRange},
		{"10.11.2", "reset 0", new(rdm.Reset), "\x00", rdm.ErrRange},
		{"7.6", "a mute response of 7 bytes", new(rdm.Mute), strings.Repeat("\x00", 7), rdm.ErrFormat},
		{"6.3.3", "a timer of 1 byte", new(rdm.AckTimer), "\x00", rdm.ErrFormat},
		{"6.3.4", "a reason of 3 bytes", new(rdm.NackReason), "\x00\x00\x00", rdm.ErrFormat},
	} {
		t.Run(c.section+" "+c.name, func(t *testing.T) {
			require.ErrorIs(t, c.data.Parse([]byte(c.in)), c.err)
		})
	}
	for name, c := range map[string]struct {
		data rdm.Parameter
		err  error
	}{
		"116 parameters":     {ptr(make(rdm.PIDs, 116)), rdm.ErrFormat},
		"7 product details":  {ptr(make(rdm.ProductDetails, 7)), rdm.ErrFormat},
		"26 status messages": {ptr(make(rdm.StatusMessages, 26)), rdm.ErrFormat},
		"a label of 33":      {ptr(rdm.Label(strings.Repeat("x", 33))), rdm.ErrLabel},
		"a label with a NUL": {ptr(rdm.Label("a\x00b")), rdm.ErrLabel},
		"a label in UTF-8":   {ptr(rdm.Label("é")), rdm.ErrLabel},
		"a long description": {&rdm.SensorDefinition{Description: rdm.Label(strings.Repeat("x", 33))}, rdm.ErrLabel},
		"a long parameter":   {&rdm.ParameterDescription{Description: rdm.Label(strings.Repeat("x", 33))}, rdm.ErrLabel},
		"a long personality": {&rdm.PersonalityDescription{Text: rdm.Label(strings.Repeat("x", 33))}, rdm.ErrLabel},
	} {
		b, err := c.data.AppendBinary([]byte("kept"))
		require.ErrorIs(t, err, c.err, name)
		require.Equal(t, "kept", string(b), name)
	}
}

// Labels of devices are shown whatever they hold.
func TestLabelTakesAnything(t *testing.T) {
	for in, want := range map[string]rdm.Label{
		"":                      "",
		"key":                   "key",
		"key\x00rest":           "key",
		"caf\xe9\n":             "caf??",
		strings.Repeat("x", 40): rdm.Label(strings.Repeat("x", 32)),
	} {
		l := rdm.Label("before")
		require.NoError(t, l.Parse([]byte(in)))
		require.Equal(t, want, l)
	}
}

func TestDecode(t *testing.T) {
	timer := rdm.Message{Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo, Response: rdm.ResponseTimer, Data: []byte{0, 20}}
	got, err := timer.Decode()
	require.NoError(t, err)
	require.Equal(t, ptr(rdm.AckTimer(20)), got)

	part := rdm.Message{Class: rdm.GetResponse, PID: rdm.PIDSupportedParameters, Response: rdm.ResponseOverflow, Data: []byte{0, 0x82}}
	got, err = part.Decode()
	require.NoError(t, err, "6.3.2: a part of a list is a list")
	require.Equal(t, &rdm.PIDs{rdm.PIDDeviceLabel}, got)

	for name, m := range map[string]rdm.Message{
		"a manufacturer's parameter":          {Class: rdm.Get, PID: 0x8001},
		"no SET of DEVICE_INFO":               {Class: rdm.Set, PID: rdm.PIDDeviceInfo},
		"10.3.1: no data of its own":          {Class: rdm.GetResponse, PID: rdm.PIDQueuedMessage},
		"no GET of a search":                  {Class: rdm.Get, PID: rdm.PIDDiscMute},
		"the reply to a search is no message": {Class: rdm.DiscoveryResponse, PID: rdm.PIDDiscUniqueBranch},
	} {
		_, err := m.Decode()
		require.ErrorIs(t, err, rdm.ErrPID, name)
	}
	short := rdm.Message{Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo, Data: []byte{1}}
	_, err = short.Decode()
	require.ErrorIs(t, err, rdm.ErrFormat)
	require.ErrorContains(t, err, "got 1 bytes for DEVICE_INFO, need 19")
}

// Readings: number times ten to the power of the prefix, table A-14.
func TestSensorText(t *testing.T) {
	s := rdm.SensorDefinition{Unit: rdm.UnitCelsius, Prefix: rdm.PrefixDeci}
	require.Equal(t, "45.3 °C", s.Text(453))
	require.Equal(t, "-3.5 °C", s.Text(-35))
	s = rdm.SensorDefinition{Unit: rdm.UnitVoltDC, Prefix: rdm.PrefixMilli}
	require.Equal(t, "14.8 V DC", s.Text(14800))
	require.Equal(t, "5", rdm.SensorDefinition{}.Text(5))
	require.InDelta(t, 12000, rdm.SensorDefinition{Prefix: rdm.PrefixKilo}.Value(12), 0)
	require.Equal(t, `sensor 0 "": temperature, -1 °C to 2 °C`, rdm.SensorDefinition{Unit: rdm.UnitCelsius, RangeMin: -1, RangeMax: 2}.String())
	for _, p := range []rdm.Prefix{0x0b, 0x10, 0x1b, 0x21, 0xff} {
		require.Zero(t, p.Power(), "prefix 0x%02x has no meaning", uint8(p))
	}
}
