package rdm_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
)

// run is what a program writes.
func run(t *testing.T, path string, args ...string) string {
	t.Helper()
	cmd := exec.Command(path, args...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, "%s", stderr.Bytes())
	return strings.TrimRight(string(out), "\n")
}

// dissect has tshark decode messages, each carried in an ArtRdm, and returns
// the named fields of each, with the values of a repeated field joined by commas.
func dissect(t *testing.T, messages []rdm.Message, fields []string) []map[string]string {
	t.Helper()
	toPcap, tshark := outside.Tool(t, "text2pcap"), outside.Tool(t, "tshark")
	var dump strings.Builder // the form of od -Ax -tx1
	for i := range messages {
		message, err := messages[i].AppendWithoutStart(nil)
		require.NoError(t, err)
		packet, err := (&artnet.Rdm{PortAddress: 0x123, Message: message}).AppendBinary(nil)
		require.NoError(t, err)
		for at, b := range packet {
			if at%16 == 0 {
				fmt.Fprintf(&dump, "\n%06x", at)
			}
			fmt.Fprintf(&dump, " %02x", b)
		}
		fmt.Fprintf(&dump, "\n%06x\n", len(packet))
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.txt"), filepath.Join(dir, "out.pcap")
	require.NoError(t, os.WriteFile(in, []byte(dump.String()), 0o600))
	run(t, toPcap, "-q", "-4", "192.0.2.10,192.0.2.23", "-u", "6454,6454", in, out)

	args := []string{"-n", "-r", out, "-T", "fields", "-E", "separator=/t", "-E", "aggregator=,"}
	for _, f := range fields {
		args = append(args, "-e", f)
	}
	lines := strings.Split(run(t, tshark, args...), "\n")
	require.Len(t, lines, len(messages))
	got := make([]map[string]string, len(lines))
	for i, line := range lines {
		values := strings.Split(line, "\t")
		require.Len(t, values, len(fields))
		got[i] = make(map[string]string)
		for j, f := range fields {
			if values[j] != "" {
				got[i][f] = values[j]
			}
		}
	}
	return got
}

// headFields are the fields of every message, and what must be empty.
var headFields = []string{
	"_ws.malformed", "rdm.bad_checksum", "rdm.trailer", "rdm.checksum.status", "artnet.header.opcode", "rdm.ssc", "rdm.len", "rdm.dst", "rdm.src",
	"rdm.tn", "rdm.port_id", "rdm.rt", "rdm.mc", "rdm.sd", "rdm.cc", "rdm.pid", "rdm.pdl",
}

// head is what a dissector is to say of a message. Status 1 is a good checksum.
func head(m *rdm.Message) map[string]string {
	want := map[string]string{
		"rdm.checksum.status": "1", "artnet.header.opcode": "0x8300", "rdm.ssc": "0x01", "rdm.len": strconv.Itoa(24 + len(m.Data)),
		"rdm.dst": fmt.Sprintf("%x", m.Destination[:]), "rdm.src": fmt.Sprintf("%x", m.Source[:]), "rdm.tn": strconv.Itoa(int(m.Transaction)),
		"rdm.mc": strconv.Itoa(int(m.Count)), "rdm.sd": strconv.Itoa(int(m.SubDevice)), "rdm.cc": fmt.Sprintf("0x%02x", uint8(m.Class)),
		"rdm.pid": fmt.Sprintf("0x%04x", uint16(m.PID)), "rdm.pdl": strconv.Itoa(len(m.Data)),
	}
	if m.Class.IsResponse() {
		want["rdm.rt"] = fmt.Sprintf("0x%02x", uint8(m.Response))
	} else {
		want["rdm.port_id"] = strconv.Itoa(int(m.PortID))
	}
	return want
}

// dissected is what a dissector is to say of the data of parameterCases, by
// class and parameter, from what the cases mean: "field=value", each after
// "rdm.pd.". Names and forms are those of tshark 4.0.17.
var dissected = map[string][]string{
	"DISCOVERY DISC_UNIQUE_BRANCH":             {"disc_unique_branch.lb_uid=7ff000000001", "disc_unique_branch.ub_uid=7ffffffffffe"},
	"DISCOVERY response DISC_MUTE":             {"disc_mute.control_field=0x02"},
	"DISCOVERY response DISC_UN_MUTE":          {"disc_unmute.control_field=0x09", "disc_unmute.binding_uid=7ff000000001"},
	"GET response COMMS_STATUS":                {"comms_status.short_msg=1", "comms_status.len_mismatch=515", "comms_status.csum_fail=4"},
	"GET QUEUED_MESSAGE":                       {"queued_message.status=0x02"},
	"GET STATUS_MESSAGES":                      {"status_messages.type=0x04"},
	"GET response SUPPORTED_PARAMETERS":        {"parameter.id=0x0082,0x8001"},
	"GET PARAMETER_DESCRIPTION":                {"parameter.id=0x8001"},
	"GET response DEVICE_LABEL":                {"device_label=key, left"},
	"SET DEVICE_LABEL":                         {"device_label=llllllllllllllllllllllllllllllll"},
	"GET response MANUFACTURER_LABEL":          {"manu_label=Prototype maker"},
	"GET response DMX_PERSONALITY":             {"dmx_pers_current=2", "dmx_pers.count=6"},
	"SET DMX_PERSONALITY":                      {"dmx_pers.nr=3"},
	"GET DMX_PERSONALITY_DESCRIPTION":          {"dmx_pers.requested=2"},
	"GET response DMX_START_ADDRESS":           {"dmx_start_address=257"},
	"SET DMX_START_ADDRESS":                    {"dmx_start_address=512"},
	"GET SENSOR_DEFINITION":                    {"sensor.nr=3"},
	"GET SENSOR_VALUE":                         {"sensor.nr=3"},
	"SET SENSOR_VALUE":                         {"sensor.nr=255"},
	"GET response DEVICE_HOURS":                {"device_hours=74565"},
	"GET response LAMP_HOURS":                  {"lamp_hours=70000"},
	"SET LAMP_HOURS":                           {"lamp_hours=0"},
	"GET response IDENTIFY_DEVICE":             {"identify_device.state=0x01"},
	"SET IDENTIFY_DEVICE":                      {"identify_device=0x00"},
	"SET RESET_DEVICE":                         {"reset_device=0xff"},
	"GET response PRODUCT_DETAIL_ID_LIST":      {"product_detail_id_list=0x0004,0x0102"},
	"GET response DEVICE_MODEL_DESCRIPTION":    {"device_model_description=Tube 4 ft"},
	"GET response SOFTWARE_VERSION_LABEL":      {"software_version.label=1.2.3"},
	"GET response DMX_PERSONALITY_DESCRIPTION": {"dmx_pers.requested=2", "dmx_pers.slots=261", "dmx_pers.text=16 bit"},
	"GET response STATUS_MESSAGES": {
		"status_messages.sub_devices_id=0x0003,0x0000", "status_messages.type=0x03,0x14", "status_messages.id=0x0021,0x8001",
		"status_messages.data_value_1=0xfffe,0x0000", "status_messages.data_value_2=0x012c,0x0000",
	},
	"GET response PARAMETER_DESCRIPTION": {
		"parameter.id=0x8001", "parameter.pdl_size=2", "parameter.data_type=5", "parameter.cmd_class=3", "parameter.type=0", "parameter.unit=8",
		"parameter.prefix=19", "parameter.min_value=1", "parameter.max_value=16909060", "parameter.default_value=25", "parameter.description=Modulation",
	},
	"GET response DEVICE_INFO": {
		"proto_vers=0x0100", "device_model_id=0x1234", "product_cat=0x0509", "software_version_id=0xa1b2c3d4", "dmx_footprint=512",
		"dmx_pers_current=4", "dmx_pers_total=5", "dmx_start_address=65535", "sub_device_count=258", "sensor_count=7",
	},
	"GET response SENSOR_DEFINITION": {
		"sensor.nr=3", "sensor_type=0x00", "sensor_unit=0x01", "sensor_prefix=0x01", "sensor.range.min_value=-400", "sensor.range.max_value=1250",
		"sensor.normal.min_value=0", "sensor.normal.max_value=800", "sensor.recorded_value_support=0x03", "sensor.description=LED board",
	},
	"GET response SENSOR_VALUE": {
		"sensor.nr=3", "sensor.value.present=453", "sensor.value.lowest=-35", "sensor.value.highest=612", "sensor.value.recorded=1",
	},
	"SET response SENSOR_VALUE": {
		"sensor.nr=3", "sensor.value.present=0", "sensor.value.lowest=0", "sensor.value.highest=0", "sensor.value.recorded=0",
	},
}

// Our encodings, decoded by the Art-Net and RDM dissectors of Wireshark, say
// what was meant: their heads, their checksums and all of their data.
func TestDissectorReadsOurMessages(t *testing.T) {
	var messages []rdm.Message
	var wants []map[string]string
	known := make(map[string]bool)
	fields := slices.Clone(headFields)
	add := func(m rdm.Message, data []string) {
		want := head(&m)
		for _, pair := range data {
			name, value, _ := strings.Cut(pair, "=")
			name = "rdm.pd." + name
			want[name] = value
			if !known[name] {
				known[name] = true
				fields = append(fields, name)
			}
		}
		messages, wants = append(messages, m), append(wants, want)
	}
	for i, c := range parameterCases {
		m := rdm.Message{Destination: responder, Source: asker, Transaction: uint8(230 + i), PortID: uint8(1 + i), Class: c.class, PID: c.pid}
		if c.class.IsResponse() {
			m = rdm.Message{Destination: asker, Source: responder, Transaction: uint8(230 + i), Count: uint8(i), Class: c.class, PID: c.pid}
		}
		var err error
		m.Data, err = c.data.AppendBinary(nil)
		require.NoError(t, err)
		data := dissected[c.class.String()+" "+c.pid.String()]
		require.Equal(t, len(m.Data) > 0, len(data) > 0, "%v %v: what is its data to say?", c.class, c.pid)
		add(m, data)
	}
	request := rdm.Message{
		Destination: responder, Source: asker, Transaction: 255, PortID: 255, SubDevice: rdm.LastSubDevice, Class: rdm.Get, PID: rdm.PIDDeviceInfo,
	}
	add(request, nil)
	add(request.Reply(responder, rdm.ResponseTimer, []byte{0x01, 0x2c}), []string{"ack_timer.estimated_response_time=300"})
	add(request.Reply(responder, rdm.ResponseNack, []byte{0, 9}), []string{"nack_reason.code=0x0009"})
	add(request.Reply(responder, rdm.ResponseOverflow, []byte{1, 2}), []string{"ack_overflow.raw_data=0102"})
	for i, got := range dissect(t, messages, fields) {
		t.Run(messages[i].String(), func(t *testing.T) { require.Equal(t, wants[i], got) })
	}
}

// A dissector's tables of the numbers of Appendix A have our numbers and words.
func TestDissectorHasOurNumbers(t *testing.T) {
	tables := make(map[string]map[uint64]string) // field, number
	for line := range strings.Lines(run(t, outside.Tool(t, "tshark"), "-G", "values")) {
		columns := strings.Split(strings.TrimRight(line, "\n"), "\t")
		if columns[0] != "V" || !strings.HasPrefix(columns[1], "rdm.") {
			continue
		}
		number, err := strconv.ParseUint(columns[2], 0, 16)
		require.NoError(t, err)
		if tables[columns[1]] == nil {
			tables[columns[1]] = make(map[uint64]string)
		}
		tables[columns[1]][number] = columns[3]
	}
	// every asks for all words of a table, apart from how they are spaced.
	plain := strings.NewReplacer(" ", "", "_", "", "-", "")
	every := func(field string, least int, word func(n uint64) string) {
		require.GreaterOrEqual(t, len(tables[field]), least, field)
		for n, want := range tables[field] {
			require.Equal(t, strings.ToUpper(plain.Replace(want)), strings.ToUpper(plain.Replace(word(n))), "%s %d", field, n)
		}
	}
	every("rdm.pd.nack_reason.code", 20, func(n uint64) string { return rdm.NackReason(n).String() })
	every("rdm.pd.sensor_type", 34, func(n uint64) string { return rdm.SensorType(n).String() })
	every("rdm.cc", 6, func(n uint64) string {
		name, response := strings.CutSuffix(rdm.Class(n).String(), " response")
		if response {
			return name + " Command Response"
		}
		return name + " Command"
	})
	every("rdm.rt", 4, func(n uint64) string { return rdm.Response(n).String() })
	require.GreaterOrEqual(t, len(tables["rdm.pd.sensor_prefix"]), 21)
	for n, want := range tables["rdm.pd.sensor_prefix"] { // "milli (x10^-3)"
		_, power, found := strings.Cut(strings.TrimSuffix(want, ")"), "10^")
		if !found {
			power = "0"
		}
		require.Equal(t, power, strconv.Itoa(rdm.Prefix(n).Power()), want)
	}
	for _, c := range []struct {
		field string
		n     uint64
		want  string
	}{
		{"rdm.pd.sensor_type", uint64(rdm.SensorTemperature), "Temperature"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorVoltage), "Voltage"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorCurrent), "Current"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorFrequency), "Frequency"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorPower), "Power"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorTime), "Time"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorHumidity), "Humidity"},
		{"rdm.pd.sensor_type", uint64(rdm.SensorOther), "Other"},
		{"rdm.pd.sensor_prefix", uint64(rdm.PrefixDeci), "deci (x10^-1)"},
		{"rdm.pd.sensor_prefix", uint64(rdm.PrefixCenti), "centi (x10^-2)"},
		{"rdm.pd.sensor_prefix", uint64(rdm.PrefixMilli), "milli (x10^-3)"},
		{"rdm.pd.sensor_prefix", uint64(rdm.PrefixKilo), "kilo (x10^3)"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitCelsius), "Centigrade"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitVoltDC), "Volts DC"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitVoltAC), "Volts AC RMS"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitAmpDC), "Ampere DC"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitHertz), "Hertz"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitWatt), "Watt"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitSecond), "Second"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitCandela), "Candela"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitLumen), "Lumen"},
		{"rdm.pd.sensor_unit", uint64(rdm.UnitLux), "Lux"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryFixture), "Fixture"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryFixtureFixed), "Fixture Fixed"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryFixtureMoving), "Fixture Moving Yoke"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryDimmerLED), "Dimmer CS LED"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryDataDistribution), "Data Distribution"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryController), "Control Controller"},
		{"rdm.pd.product_cat", uint64(rdm.CategoryOther), "Other"},
	} {
		require.Equal(t, c.want, tables[c.field][c.n], "%s %d", c.field, c.n)
	}
	otherwise := map[rdm.PID]string{ // where the dissector has words of its own
		rdm.PIDDiscUniqueBranch: "Discovery Unique Branch", rdm.PIDDiscMute: "Discovery Mute", rdm.PIDDiscUnMute: "Discovery Un-Mute",
		rdm.PIDCommsStatus: "Communication Status", rdm.PIDQueuedMessage: "Queued Messages", 0x0033: "Device Status Reporting Threshold",
	}
	named := 0
	for p := range rdm.PID(0x7fff) {
		name := p.String()
		if strings.HasPrefix(name, "PID 0x") {
			continue
		}
		named++
		if other, ok := otherwise[p]; ok {
			name = other
		}
		require.Equal(t, strings.ToUpper(plain.Replace(tables["rdm.pid"][uint64(p)])), strings.ToUpper(plain.Replace(name)), "0x%04x", uint16(p))
	}
	require.Equal(t, 52, named, "the parameters that have names")
}
