package artnet_test

import (
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
)

// Our RDM messages, in the ArtRdm packets that carry them, as the RDM dissector
// of tshark 4.0.17 reads them: the head once, then every parameter. It judges
// the checksums. The reply to DISC_UNIQUE_BRANCH is no packet and has no
// dissector; package rdm checks it against a worked example.
func TestDissectorReadsOurRDM(t *testing.T) {
	asker, responder := rdm.NewUID(0x7ff0, 0x99), rdm.NewUID(0x7ff0, 1)
	carry := func(m rdm.Message, data interface{ AppendBinary([]byte) ([]byte, error) }) *artnet.Rdm {
		m.Destination, m.Source, m.PortID = responder, asker, 1
		if m.Class.IsResponse() {
			m.Destination, m.Source, m.PortID = asker, responder, 0
		}
		return &artnet.Rdm{PortAddress: 291, Message: rdmMessage(m, data)}
	}
	get := func(pid rdm.PID, data interface{ AppendBinary([]byte) ([]byte, error) }) *artnet.Rdm {
		return carry(rdm.Message{Class: rdm.Get, PID: pid}, data)
	}
	got := func(pid rdm.PID, data interface{ AppendBinary([]byte) ([]byte, error) }) *artnet.Rdm {
		return carry(rdm.Message{Class: rdm.GetResponse, PID: pid}, data)
	}
	set := func(pid rdm.PID, data interface{ AppendBinary([]byte) ([]byte, error) }) *artnet.Rdm {
		return carry(rdm.Message{Class: rdm.Set, PID: pid}, data)
	}
	dissect(t, artnet.Port, []dissected{
		{"request", carry(rdm.Message{Transaction: 200, SubDevice: 300, Class: rdm.Set, PID: rdm.PIDIdentifyDevice}, rdm.Identify(true)), map[string]string{
			"rdm.len": "25", "rdm.dst": "7ff000000001", "rdm.src": "7ff000000099", "rdm.tn": "200", "rdm.port_id": "1", "rdm.rt": "", "rdm.mc": "0",
			"rdm.sd": "300", "rdm.cc": "0x30", "rdm.pid": "0x1000", "rdm.pdl": "1", "rdm.pd.identify_device": "0x01",
		}, nil},
		{"response", carry(rdm.Message{Transaction: 201, Count: 7, Class: rdm.SetResponse, PID: rdm.PIDIdentifyDevice}, nil), map[string]string{
			"rdm.len": "24", "rdm.dst": "7ff000000099", "rdm.src": "7ff000000001", "rdm.tn": "201", "rdm.port_id": "", "rdm.rt": "0x00", "rdm.mc": "7",
			"rdm.sd": "0", "rdm.cc": "0x31", "rdm.pid": "0x1000", "rdm.pdl": "0",
		}, nil},
		{"ACK_TIMER", carry(rdm.Message{Response: rdm.ResponseTimer, Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo}, rdm.AckTimer(25)), map[string]string{
			"rdm.rt": "0x01", "rdm.pd.ack_timer.estimated_response_time": "25",
		}, nil},
		{"NACK_REASON", carry(rdm.Message{Response: rdm.ResponseNack, Class: rdm.SetResponse, PID: rdm.PIDDMXStartAddress}, rdm.NackWriteProtect), map[string]string{
			"rdm.rt": "0x02", "rdm.pd.nack_reason.code": "0x0004",
		}, nil},
		{"ACK_OVERFLOW", carry(rdm.Message{Response: rdm.ResponseOverflow, Class: rdm.GetResponse, PID: rdm.PIDSupportedParameters}, rdm.PIDs{0x82}), map[string]string{
			"rdm.rt": "0x03",
		}, map[int]string{47: "0082"}},

		{"DISC_UNIQUE_BRANCH", carry(rdm.Message{Class: rdm.Discovery, PID: rdm.PIDDiscUniqueBranch}, rdm.Branch{Lower: responder, Upper: asker}), map[string]string{
			"rdm.cc": "0x10", "rdm.pid": "0x0001", "rdm.pd.disc_unique_branch.lb_uid": "7ff000000001", "rdm.pd.disc_unique_branch.ub_uid": "7ff000000099",
		}, nil},
		{"DISC_MUTE response", carry(rdm.Message{Class: rdm.DiscoveryResponse, PID: rdm.PIDDiscMute}, rdm.Mute{Flags: rdm.MuteSubDevices, Binding: asker}), map[string]string{
			"rdm.pd.disc_mute.control_field": "0x02", "rdm.pd.disc_mute.binding_uid": "7ff000000099",
		}, nil},
		{"DISC_UN_MUTE response", carry(rdm.Message{Class: rdm.DiscoveryResponse, PID: rdm.PIDDiscUnMute}, rdm.Mute{Flags: rdm.MuteProxied}), map[string]string{
			"rdm.pd.disc_unmute.control_field": "0x08", "rdm.pd.disc_unmute.binding_uid": "",
		}, nil},

		{"QUEUED_MESSAGE", get(rdm.PIDQueuedMessage, rdm.StatusWarning), map[string]string{"rdm.pd.queued_message.status": "0x03"}, nil},
		{"STATUS_MESSAGES", get(rdm.PIDStatusMessages, rdm.StatusError), map[string]string{"rdm.pd.status_messages.type": "0x04"}, nil},
		{"STATUS_MESSAGES response", got(rdm.PIDStatusMessages, rdm.StatusMessages{
			{SubDevice: 3, Type: rdm.StatusWarning, ID: 0x21, Value1: 2, Value2: 300}, {SubDevice: 4, Type: rdm.StatusErrorCleared, ID: 0x8001},
		}), map[string]string{
			"rdm.pd.status_messages.sub_devices_id": "0x0003,0x0004", "rdm.pd.status_messages.type": "0x03,0x14", "rdm.pd.status_messages.id": "0x0021,0x8001",
			"rdm.pd.status_messages.data_value_1": "0x0002,0x0000", "rdm.pd.status_messages.data_value_2": "0x012c,0x0000",
		}, nil},
		{"COMMS_STATUS response", got(rdm.PIDCommsStatus, rdm.CommsStatus{Short: 1, LengthMismatch: 515, ChecksumFail: 4}), map[string]string{
			"rdm.pd.comms_status.short_msg": "1", "rdm.pd.comms_status.len_mismatch": "515", "rdm.pd.comms_status.csum_fail": "4",
		}, nil},
		{"SUPPORTED_PARAMETERS response", got(rdm.PIDSupportedParameters, rdm.PIDs{rdm.PIDDeviceLabel, rdm.PIDSensorValue}), map[string]string{
			"rdm.pd.parameter.id": "0x0082,0x0201",
		}, nil},
		{"PARAMETER_DESCRIPTION", get(rdm.PIDParameterDescription, rdm.PID(0x9001)), map[string]string{"rdm.pd.parameter.id": "0x9001"}, nil},
		{"PARAMETER_DESCRIPTION response", got(rdm.PIDParameterDescription, rdm.ParameterDescription{
			PID: 0x9001, Size: 2, DataType: rdm.DataUint16, Classes: rdm.ClassesGetSet, Unit: rdm.UnitHertz, Prefix: rdm.PrefixKilo,
			Least: 1, Most: 0x01020304, Default: 25, Description: "Modulation",
		}), map[string]string{
			"rdm.pd.parameter.id": "0x9001", "rdm.pd.parameter.pdl_size": "2", "rdm.pd.parameter.data_type": "5", "rdm.pd.parameter.cmd_class": "3",
			"rdm.pd.parameter.type": "0", "rdm.pd.parameter.unit": "8", "rdm.pd.parameter.prefix": "19", "rdm.pd.parameter.min_value": "1",
			"rdm.pd.parameter.max_value": "16909060", "rdm.pd.parameter.default_value": "25", "rdm.pd.parameter.description": "Modulation",
		}, nil},
		{"DEVICE_INFO response", got(rdm.PIDDeviceInfo, rdm.DeviceInfo{
			Protocol: rdm.ProtocolVersion, Model: 0x1234, Category: rdm.CategoryDimmerLED, Software: 0xa1b2c3d4, Footprint: 512, Personality: 4,
			Personalities: 5, StartAddress: 17, SubDevices: 258, Sensors: 7,
		}), map[string]string{
			"rdm.pd.proto_vers": "0x0100", "rdm.pd.device_model_id": "0x1234", "rdm.pd.product_cat": "0x0509", "rdm.pd.software_version_id": "0xa1b2c3d4",
			"rdm.pd.dmx_footprint": "512", "rdm.pd.dmx_pers_current": "4", "rdm.pd.dmx_pers_total": "5", "rdm.pd.dmx_start_address": "17",
			"rdm.pd.sub_device_count": "258", "rdm.pd.sensor_count": "7",
		}, nil},
		{"PRODUCT_DETAIL_ID_LIST response", got(rdm.PIDProductDetailIDList, rdm.ProductDetails{4, 258}), map[string]string{
			"rdm.pd.product_detail_id_list": "0x0004,0x0102",
		}, nil},
		{"DEVICE_MODEL_DESCRIPTION response", got(rdm.PIDDeviceModelDescription, rdm.Label("Tube 4 ft")), map[string]string{"rdm.pd.device_model_description": "Tube 4 ft"}, nil},
		{"MANUFACTURER_LABEL response", got(rdm.PIDManufacturerLabel, rdm.Label("Prototype maker")), map[string]string{"rdm.pd.manu_label": "Prototype maker"}, nil},
		{"DEVICE_LABEL response", got(rdm.PIDDeviceLabel, rdm.Label("key, left")), map[string]string{"rdm.pd.device_label": "key, left"}, nil},
		{"SET DEVICE_LABEL", set(rdm.PIDDeviceLabel, rdm.Label(strings.Repeat("l", 32))), map[string]string{"rdm.pd.device_label": strings.Repeat("l", 32)}, nil},
		{"SOFTWARE_VERSION_LABEL response", got(rdm.PIDSoftwareVersionLabel, rdm.Label("1.2.3")), map[string]string{"rdm.pd.software_version.label": "1.2.3"}, nil},

		{"DMX_PERSONALITY response", got(rdm.PIDDMXPersonality, rdm.Personality{Current: 2, Count: 6}), map[string]string{
			"rdm.pd.dmx_pers_current": "2", "rdm.pd.dmx_pers.count": "6",
		}, nil},
		{"SET DMX_PERSONALITY", set(rdm.PIDDMXPersonality, rdm.PersonalityNumber(3)), map[string]string{"rdm.pd.dmx_pers.nr": "3"}, nil},
		{"DMX_PERSONALITY_DESCRIPTION", get(rdm.PIDDMXPersonalityDescription, rdm.PersonalityNumber(2)), map[string]string{"rdm.pd.dmx_pers.requested": "2"}, nil},
		{"DMX_PERSONALITY_DESCRIPTION response", got(rdm.PIDDMXPersonalityDescription, rdm.PersonalityDescription{Number: 2, Slots: 261, Text: "16 bit"}), map[string]string{
			"rdm.pd.dmx_pers.requested": "2", "rdm.pd.dmx_pers.slots": "261", "rdm.pd.dmx_pers.text": "16 bit",
		}, nil},
		{"DMX_START_ADDRESS response", got(rdm.PIDDMXStartAddress, rdm.StartAddress(257)), map[string]string{"rdm.pd.dmx_start_address": "257"}, nil},
		{"SET DMX_START_ADDRESS", set(rdm.PIDDMXStartAddress, rdm.StartAddress(512)), map[string]string{"rdm.pd.dmx_start_address": "512"}, nil},

		{"SENSOR_DEFINITION", get(rdm.PIDSensorDefinition, rdm.SensorNumber(3)), map[string]string{"rdm.pd.sensor.nr": "3"}, nil},
		{"SENSOR_DEFINITION response", got(rdm.PIDSensorDefinition, rdm.SensorDefinition{
			Number: 3, Type: rdm.SensorVoltage, Unit: rdm.UnitVoltDC, Prefix: rdm.PrefixCenti, RangeMin: -400, RangeMax: 1250, NormalMin: -1, NormalMax: 800,
			Recorded: rdm.SensorRecords, Description: "battery",
		}), map[string]string{
			"rdm.pd.sensor.nr": "3", "rdm.pd.sensor_type": "0x01", "rdm.pd.sensor_unit": "0x02", "rdm.pd.sensor_prefix": "0x02",
			"rdm.pd.sensor.range.min_value": "-400", "rdm.pd.sensor.range.max_value": "1250", "rdm.pd.sensor.normal.min_value": "-1",
			"rdm.pd.sensor.normal.max_value": "800", "rdm.pd.sensor.recorded_value_support": "0x01", "rdm.pd.sensor.description": "battery",
		}, nil},
		{"SENSOR_VALUE", get(rdm.PIDSensorValue, rdm.SensorNumber(3)), map[string]string{"rdm.pd.sensor.nr": "3"}, nil},
		{"SENSOR_VALUE response", got(rdm.PIDSensorValue, rdm.SensorValue{Number: 3, Present: 453, Lowest: -35, Highest: 612, Recorded: 1}), map[string]string{
			"rdm.pd.sensor.nr": "3", "rdm.pd.sensor.value.present": "453", "rdm.pd.sensor.value.lowest": "-35", "rdm.pd.sensor.value.highest": "612",
			"rdm.pd.sensor.value.recorded": "1",
		}, nil},
		{"DEVICE_HOURS response", got(rdm.PIDDeviceHours, rdm.Hours(70000)), map[string]string{"rdm.pd.device_hours": "70000"}, nil},
		{"LAMP_HOURS response", got(rdm.PIDLampHours, rdm.Hours(70001)), map[string]string{"rdm.pd.lamp_hours": "70001"}, nil},
		{"SET LAMP_HOURS", set(rdm.PIDLampHours, rdm.Hours(9)), map[string]string{"rdm.pd.lamp_hours": "9"}, nil},
		{"IDENTIFY_DEVICE response", got(rdm.PIDIdentifyDevice, rdm.Identify(true)), map[string]string{"rdm.pd.identify_device.state": "0x01"}, nil},
		{"SET RESET_DEVICE", set(rdm.PIDResetDevice, rdm.ResetCold), map[string]string{"rdm.pd.reset_device": "0xff"}, nil},
	}, map[string]string{"rdm.checksum.status": "1", "rdm.ssc": "0x01", "artnet.rdm.address": "0x23", "artnet.excess_bytes": ""})
}

// Our numbers for reasons, quantities, units' prefixes and parameters are those
// in the dissector's tables.
func TestDissectorKnowsOurNumbers(t *testing.T) {
	tables := map[string]map[int]string{}
	answer, err := exec.Command(tool(t, "tshark"), "-G", "values").Output()
	require.NoError(t, err)
	for line := range strings.Lines(string(answer)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t") // V, field, value, words
		if len(f) < 4 || f[0] != "V" || !strings.HasPrefix(f[1], "rdm.") {
			continue
		}
		value, err := strconv.ParseInt(f[2], 0, 32)
		require.NoError(t, err, "%s", line)
		if tables[f[1]] == nil {
			tables[f[1]] = map[int]string{}
		}
		tables[f[1]][int(value)] = f[3]
	}
	same := func(field string, least int, ours func(v int) string) {
		t.Helper()
		require.GreaterOrEqual(t, len(tables[field]), least, "the dissector has a table %s", field)
		for v, theirs := range tables[field] {
			require.Equal(t, strings.ToLower(theirs), strings.ToLower(ours(v)), "%s 0x%x", field, v)
		}
	}
	same("rdm.pd.nack_reason.code", 20, func(v int) string { return rdm.NackReason(v).String() })
	same("rdm.pd.sensor_type", 34, func(v int) string { return rdm.SensorType(v).String() })
	same("rdm.rt", 4, func(v int) string { return strings.ReplaceAll(rdm.Response(v).String(), "_", " ") })
	for v, theirs := range tables["rdm.pd.sensor_prefix"] { // "milli (x10^-3)"
		_, power, found := strings.Cut(theirs, "(x10^")
		if !found {
			require.Zero(t, v)
			power = "0)"
		}
		require.Equal(t, power, fmt.Sprintf("%d)", rdm.Prefix(v).Power()), theirs)
	}
	require.Len(t, tables["rdm.pd.sensor_prefix"], 21)

	for pid, theirs := range map[rdm.PID]string{ // where the words are not the standard's name
		rdm.PIDDiscUniqueBranch: "Discovery Unique Branch", rdm.PIDDiscMute: "Discovery Mute", rdm.PIDDiscUnMute: "Discovery Un-Mute",
		rdm.PIDCommsStatus: "Communication Status", rdm.PIDQueuedMessage: "Queued Messages",
		0x33: "Device Status Reporting Threshold", 0x1020: "Perform Self Test",
	} {
		require.Equal(t, theirs, tables["rdm.pid"][int(pid)])
		delete(tables["rdm.pid"], int(pid))
	}
	named := 0
	for v, theirs := range tables["rdm.pid"] {
		ours := rdm.PID(v).String()
		if v >= 0x8000 || strings.HasPrefix(ours, "PID ") {
			continue // of a manufacturer, or not of ANSI E1.20
		}
		named++
		require.Equal(t, strings.ToLower(theirs), strings.ToLower(strings.ReplaceAll(ours, "_", " ")), "PID 0x%04x", v)
	}
	require.Greater(t, named, 35)
}
