package rdm

import (
	"encoding/binary"
	"fmt"
)

// PID is the number of a parameter, ANSI E1.20 Appendix A, table A-3. It is
// also the parameter data of a GET PARAMETER_DESCRIPTION.
type PID uint16

// The parameters that have types here.
const (
	PIDDiscUniqueBranch          PID = 0x0001
	PIDDiscMute                  PID = 0x0002
	PIDDiscUnMute                PID = 0x0003
	PIDCommsStatus               PID = 0x0015
	PIDQueuedMessage             PID = 0x0020
	PIDStatusMessages            PID = 0x0030
	PIDSupportedParameters       PID = 0x0050
	PIDParameterDescription      PID = 0x0051
	PIDDeviceInfo                PID = 0x0060
	PIDProductDetailIDList       PID = 0x0070
	PIDDeviceModelDescription    PID = 0x0080
	PIDManufacturerLabel         PID = 0x0081
	PIDDeviceLabel               PID = 0x0082
	PIDSoftwareVersionLabel      PID = 0x00c0
	PIDDMXPersonality            PID = 0x00e0
	PIDDMXPersonalityDescription PID = 0x00e1
	PIDDMXStartAddress           PID = 0x00f0
	PIDSensorDefinition          PID = 0x0200
	PIDSensorValue               PID = 0x0201
	PIDDeviceHours               PID = 0x0400
	PIDLampHours                 PID = 0x0401
	PIDIdentifyDevice            PID = 0x1000
	PIDResetDevice               PID = 0x1001
)

const (
	firstManufacturerPID PID = 0x8000
	lastManufacturerPID  PID = 0xffdf

	pidSize = 2
)

// pidNames are the names of table A-3, also of parameters without types here, so
// that a log can say what passed.
var pidNames = map[PID]string{
	PIDDiscUniqueBranch:          "DISC_UNIQUE_BRANCH",
	PIDDiscMute:                  "DISC_MUTE",
	PIDDiscUnMute:                "DISC_UN_MUTE",
	0x0010:                       "PROXIED_DEVICES",
	0x0011:                       "PROXIED_DEVICE_COUNT",
	PIDCommsStatus:               "COMMS_STATUS",
	PIDQueuedMessage:             "QUEUED_MESSAGE",
	PIDStatusMessages:            "STATUS_MESSAGES",
	0x0031:                       "STATUS_ID_DESCRIPTION",
	0x0032:                       "CLEAR_STATUS_ID",
	0x0033:                       "SUB_DEVICE_STATUS_REPORT_THRESHOLD",
	PIDSupportedParameters:       "SUPPORTED_PARAMETERS",
	PIDParameterDescription:      "PARAMETER_DESCRIPTION",
	PIDDeviceInfo:                "DEVICE_INFO",
	PIDProductDetailIDList:       "PRODUCT_DETAIL_ID_LIST",
	PIDDeviceModelDescription:    "DEVICE_MODEL_DESCRIPTION",
	PIDManufacturerLabel:         "MANUFACTURER_LABEL",
	PIDDeviceLabel:               "DEVICE_LABEL",
	0x0090:                       "FACTORY_DEFAULTS",
	0x00a0:                       "LANGUAGE_CAPABILITIES",
	0x00b0:                       "LANGUAGE",
	PIDSoftwareVersionLabel:      "SOFTWARE_VERSION_LABEL",
	0x00c1:                       "BOOT_SOFTWARE_VERSION_ID",
	0x00c2:                       "BOOT_SOFTWARE_VERSION_LABEL",
	PIDDMXPersonality:            "DMX_PERSONALITY",
	PIDDMXPersonalityDescription: "DMX_PERSONALITY_DESCRIPTION",
	PIDDMXStartAddress:           "DMX_START_ADDRESS",
	0x0120:                       "SLOT_INFO",
	0x0121:                       "SLOT_DESCRIPTION",
	0x0122:                       "DEFAULT_SLOT_VALUE",
	PIDSensorDefinition:          "SENSOR_DEFINITION",
	PIDSensorValue:               "SENSOR_VALUE",
	0x0202:                       "RECORD_SENSORS",
	PIDDeviceHours:               "DEVICE_HOURS",
	PIDLampHours:                 "LAMP_HOURS",
	0x0402:                       "LAMP_STRIKES",
	0x0403:                       "LAMP_STATE",
	0x0404:                       "LAMP_ON_MODE",
	0x0405:                       "DEVICE_POWER_CYCLES",
	0x0500:                       "DISPLAY_INVERT",
	0x0501:                       "DISPLAY_LEVEL",
	0x0600:                       "PAN_INVERT",
	0x0601:                       "TILT_INVERT",
	0x0602:                       "PAN_TILT_SWAP",
	0x0603:                       "REAL_TIME_CLOCK",
	PIDIdentifyDevice:            "IDENTIFY_DEVICE",
	PIDResetDevice:               "RESET_DEVICE",
	0x1010:                       "POWER_STATE",
	0x1020:                       "PERFORM_SELFTEST",
	0x1021:                       "SELF_TEST_DESCRIPTION",
	0x1030:                       "CAPTURE_PRESET",
	0x1031:                       "PRESET_PLAYBACK",
}

// OfManufacturer reports whether the parameter is a manufacturer's own, which
// PARAMETER_DESCRIPTION tells about: 0x8000..0xFFDF.
func (p PID) OfManufacturer() bool { return p >= firstManufacturerPID && p <= lastManufacturerPID }

// String is the standard's name, or the number.
func (p PID) String() string {
	if name, ok := pidNames[p]; ok {
		return name
	}
	return fmt.Sprintf("PID 0x%04x", uint16(p))
}

// AppendBinary appends 2 bytes. The error is always nil.
func (p PID) AppendBinary(b []byte) ([]byte, error) {
	return binary.BigEndian.AppendUint16(b, uint16(p)), nil
}

// Parse reads 2 bytes. Errors wrap ErrFormat.
func (p *PID) Parse(b []byte) error {
	if err := exactly(b, "a PID", pidSize); err != nil {
		return err
	}
	*p = PID(binary.BigEndian.Uint16(b))
	return nil
}
