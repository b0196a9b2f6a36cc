package artnet

import (
	"encoding/binary"
	"fmt"
	"slices"
)

// TodResponse says whether an ArtTodData holds a table.
type TodResponse uint8

// The responses of ArtTodData.
const (
	TodResponseFull TodResponse = 0    // the table, or a block of it
	TodResponseNak  TodResponse = 0xff // not there yet: ask again later
)

const (
	// MaxTodUIDs is the most UIDs in one ArtTodData.
	MaxTodUIDs    = 200
	todDataUIDsAt = 28
	uidSize       = 6
	rdmVersion    = 1 // "RDM STANDARD V1.0"
)

// TodData is ArtTodData: an output gateway lists the RDM devices of one port,
// in blocks of at most 200, by directed broadcast. Art-Net 4, section
// "ArtTodData":
//
//	12  RdmVer, 1         20  BindIndex         24  UidTotal, 2 bytes
//	13  Port              21  Net               26  BlockCount
//	14  Spare, 6 bytes    22  CommandResponse   27  UidCount
//	                      23  Address           28  UIDs, 6 bytes each
type TodData struct {
	Port        uint8 // 1..4, of the page
	BindIndex   uint8 // the page, as in its ArtPollReply
	PortAddress PortAddress
	Response    TodResponse
	Total       uint16 // UIDs in the whole table
	Block       uint8  // 0, 1, 2 ...
	// UIDs are at most 200 unique identifiers, ANSI E1.20 section 5: 2 bytes of
	// manufacturer, 4 of device, most significant first.
	UIDs [][6]byte
}

// OpCode is OpTodData.
func (*TodData) OpCode() OpCode { return OpTodData }

// PhysicalPort is the number of the port at the device, from 1: (BindIndex-1) *
// numPorts + Port, with the NumPorts of its ArtPollReply.
func (d *TodData) PhysicalPort(numPorts uint16) int {
	return int(max(d.BindIndex, 1)-1)*int(numPorts) + int(d.Port)
}

// TodBlocks lays out a table of any length: the packets that head, whose
// Response, Total, Block and UIDs are set here, sends for it. An empty table is
// one packet. Only blocks 0..255 can be told apart, so 51200 UIDs are the most;
// what is over is left out of the blocks, but counted in Total as far as that
// goes. The UIDs of the result are parts of uids.
func TodBlocks(head TodData, uids [][6]byte) []TodData {
	head.Response, head.Total, head.Block, head.UIDs = TodResponseFull, uint16(min(len(uids), 0xffff)), 0, nil
	if len(uids) == 0 {
		return []TodData{head}
	}
	var blocks []TodData
	for part := range slices.Chunk(uids[:min(len(uids), 256*MaxTodUIDs)], MaxTodUIDs) {
		head.UIDs = part
		blocks = append(blocks, head)
		head.Block++
	}
	return blocks
}

// String is the port and how many devices of how many.
func (d *TodData) String() string {
	if d.Response == TodResponseNak {
		return fmt.Sprintf("%v %v: no table yet", OpTodData, d.PortAddress)
	}
	return fmt.Sprintf("%v %v page %d port %d: block %d, %d of %d devices", OpTodData, d.PortAddress, d.BindIndex, d.Port, d.Block, len(d.UIDs), d.Total)
}

// AppendBinary appends 28 + 6 * len(UIDs) bytes. Errors wrap ErrPortAddress or
// ErrCount.
func (d *TodData) AppendBinary(b []byte) ([]byte, error) {
	if err := d.PortAddress.check(); err != nil {
		return b, err
	}
	if n := len(d.UIDs); n > MaxTodUIDs {
		return b, fmt.Errorf("artnet: %v: %w: got %d UIDs, need at most %d", OpTodData, ErrCount, n, MaxTodUIDs)
	}
	b = append(appendHeader(b, OpTodData), rdmVersion, d.Port)
	b = appendZeros(b, 6)
	b = append(b, d.BindIndex, d.PortAddress.Net(), uint8(d.Response), uint8(d.PortAddress))
	b = binary.BigEndian.AppendUint16(b, d.Total)
	b = append(b, d.Block, uint8(len(d.UIDs)))
	for i := range d.UIDs {
		b = append(b, d.UIDs[i][:]...)
	}
	return b, nil
}

// Parse decodes b into d, leaving nothing of what d held and keeping nothing of
// b; the room of d.UIDs is used again. RdmVer is not tested: the checksum of
// every message after it is. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort,
// ErrVersion or ErrCount, and leave d as it was.
func (d *TodData) Parse(b []byte) error {
	if err := header(b, OpTodData, todDataUIDsAt); err != nil {
		return err
	}
	n := int(b[27])
	if n > MaxTodUIDs {
		return fmt.Errorf("artnet: %v: %w: got %d UIDs, need at most %d", OpTodData, ErrCount, n, MaxTodUIDs)
	}
	if got := (len(b) - todDataUIDsAt) / uidSize; got < n {
		return fmt.Errorf("artnet: %v: %w: %d UIDs said, %d in the packet", OpTodData, ErrCount, n, got)
	}
	uids := d.UIDs[:0]
	for at := todDataUIDsAt; at < todDataUIDsAt+n*uidSize; at += uidSize {
		uids = append(uids, [uidSize]byte(b[at:]))
	}
	*d = TodData{
		Port: b[13], BindIndex: b[20], PortAddress: join(b[21], b[23]), Response: TodResponse(b[22]),
		Total: binary.BigEndian.Uint16(b[24:]), Block: b[26], UIDs: uids,
	}
	return nil
}
