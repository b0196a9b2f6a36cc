package rdm

import (
	"encoding/binary"
	"fmt"
)

// Category says what a device is for, ANSI E1.20 table A-5.
type Category uint16

// Categories that are met on a set; the high byte alone is the broad one.
const (
	CategoryFixture          Category = 0x0100
	CategoryFixtureFixed     Category = 0x0101
	CategoryFixtureMoving    Category = 0x0102
	CategoryDimmerLED        Category = 0x0509
	CategoryDataDistribution Category = 0x0801
	CategoryController       Category = 0x7001
	CategoryOther            Category = 0x7fff
)

var broadCategories = map[Category]string{
	0x00: "not declared", 0x01: "fixture", 0x02: "fixture accessory", 0x03: "projector", 0x04: "atmospheric effect",
	0x05: "dimmer", 0x06: "power", 0x07: "scenic", 0x08: "data", 0x09: "audio-visual", 0x0a: "monitor",
	0x70: "control", 0x71: "test equipment", 0x7f: "other",
}

// String is the broad category in words.
func (c Category) String() string {
	if name, ok := broadCategories[c>>8]; ok {
		return name
	}
	return fmt.Sprintf("category 0x%04x", uint16(c))
}

// ProtocolVersion of ANSI E1.20 is 1.0.
const ProtocolVersion = 0x0100

const deviceInfoSize = 19

// DeviceInfo is the data of the response to GET DEVICE_INFO. ANSI E1.20 section
// 10.5.1:
//
//	0  RDM protocol version, 2   6   software version, 4    14  start address, 2
//	2  device model, 2           10  DMX512 footprint, 2    16  sub-devices, 2
//	4  product category, 2       12  current personality    18  sensors
//	                             13  personalities
type DeviceInfo struct {
	Protocol      uint16 // ProtocolVersion
	Model         uint16 // the manufacturer's number of the type
	Category      Category
	Software      uint32 // the manufacturer's number of the firmware
	Footprint     uint16 // slots, 0..512
	Personality   uint8  // from 1
	Personalities uint8
	StartAddress  StartAddress
	SubDevices    uint16
	Sensors       uint8
}

// String is one line for a log.
func (d DeviceInfo) String() string {
	return fmt.Sprintf("model 0x%04x, %v, software 0x%08x, %d slots from %v, personality %d of %d, %d sub-devices, %d sensors",
		d.Model, d.Category, d.Software, d.Footprint, d.StartAddress, d.Personality, d.Personalities, d.SubDevices, d.Sensors)
}

// AppendBinary appends 19 bytes. The error is always nil.
func (d DeviceInfo) AppendBinary(b []byte) ([]byte, error) {
	b = binary.BigEndian.AppendUint16(b, d.Protocol)
	b = binary.BigEndian.AppendUint16(b, d.Model)
	b = binary.BigEndian.AppendUint16(b, uint16(d.Category))
	b = binary.BigEndian.AppendUint32(b, d.Software)
	b = binary.BigEndian.AppendUint16(b, d.Footprint)
	b = append(b, d.Personality, d.Personalities)
	b = binary.BigEndian.AppendUint16(b, uint16(d.StartAddress))
	b = binary.BigEndian.AppendUint16(b, d.SubDevices)
	return append(b, d.Sensors), nil
}

// Parse reads 19 bytes. Errors wrap ErrFormat.
func (d *DeviceInfo) Parse(b []byte) error {
	if err := exactly(b, "DEVICE_INFO", deviceInfoSize); err != nil {
		return err
	}
	*d = DeviceInfo{
		Protocol:      binary.BigEndian.Uint16(b),
		Model:         binary.BigEndian.Uint16(b[2:]),
		Category:      Category(binary.BigEndian.Uint16(b[4:])),
		Software:      binary.BigEndian.Uint32(b[6:]),
		Footprint:     binary.BigEndian.Uint16(b[10:]),
		Personality:   b[12],
		Personalities: b[13],
		StartAddress:  StartAddress(binary.BigEndian.Uint16(b[14:])),
		SubDevices:    binary.BigEndian.Uint16(b[16:]),
		Sensors:       b[18],
	}
	return nil
}

const mostProductDetails = 6

// ProductDetails are the data of the response to GET PRODUCT_DETAIL_ID_LIST, at
// most 6 numbers of ANSI E1.20 table A-6. Section 10.5.2. 0x0004 is an LED
// source.
type ProductDetails []uint16

// AppendBinary appends 2 * len(p) bytes. Errors wrap ErrFormat.
func (p ProductDetails) AppendBinary(b []byte) ([]byte, error) {
	if err := atMost(len(p), "product details", mostProductDetails); err != nil {
		return b, err
	}
	for _, id := range p {
		b = binary.BigEndian.AppendUint16(b, id)
	}
	return b, nil
}

// Parse reads up to 12 bytes; the room of p is used again. Errors wrap
// ErrFormat.
func (p *ProductDetails) Parse(b []byte) error {
	if err := listOf(b, "PRODUCT_DETAIL_ID_LIST", 2, mostProductDetails); err != nil {
		return err
	}
	ids := (*p)[:0]
	for ; len(b) > 0; b = b[2:] {
		ids = append(ids, binary.BigEndian.Uint16(b))
	}
	*p = ids
	return nil
}
