// Package rdm turns the messages of remote device management, ANSI E1.20-2010,
// into bytes and back, and their parameter data into types. It opens no sockets,
// keeps no time and runs no discovery.
//
// A Message travels in two forms: with its START code on a DMX512 line
// (AppendBinary, Parse), and without it in the ArtRdm packet of Art-Net
// (AppendWithoutStart, ParseWithoutStart). The checksum is the same in both.
//
// Data of a message is bytes; Message.Decode makes a Parameter of them, and every
// Parameter has AppendBinary and Parse of its own. Their Parse asks for the
// standard's length and takes any value that has a meaning or may get one: what
// is out of range is the responder's to refuse. Errors tell the two apart, as
// NACK reasons do: ErrFormat and ErrRange. A Label by itself takes any length,
// since devices do send others.
//
// Implemented, by section of the standard: 5 UIDs, 6.2 the message, 6.3 responses,
// 7.5 DISC_UNIQUE_BRANCH and its reply, 7.6 DISC_MUTE and DISC_UN_MUTE, and of
// section 10 and Appendix A these parameters:
//
//	COMMS_STATUS            QUEUED_MESSAGE            STATUS_MESSAGES
//	SUPPORTED_PARAMETERS    PARAMETER_DESCRIPTION     DEVICE_INFO
//	PRODUCT_DETAIL_ID_LIST  DEVICE_MODEL_DESCRIPTION  MANUFACTURER_LABEL
//	DEVICE_LABEL            SOFTWARE_VERSION_LABEL    DMX_PERSONALITY
//	DMX_START_ADDRESS       DMX_PERSONALITY_DESCRIPTION
//	SENSOR_DEFINITION       SENSOR_VALUE              DEVICE_HOURS
//	LAMP_HOURS              IDENTIFY_DEVICE           RESET_DEVICE
//
// Left out: every other parameter (PID names the common ones), proxies, line
// timing (section 3), the search of discovery itself (sections 7.1-7.4), which
// gateways do, and the parameters of E1.37 and E1.33.
//
// Numbers are those of the header of Appendix A that ESTA gives out. Section
// numbers of ANSI E1.20 are from memory.
package rdm
