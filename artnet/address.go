package artnet

import "fmt"

// Switch is what an ArtAddress does to one switch of a device: to its net, its
// sub-net or the universe of a port. The zero value leaves it as it is.
type Switch uint8

// The switches without a number.
const (
	SwitchKeep  Switch = 0 // on the wire 0x7f
	SwitchReset Switch = 1 // back to the switch at the device; on the wire 0
)

// SwitchTo sets a switch to n: 0..127 for the net, 0..15 elsewhere. Bits above
// those are dropped.
func SwitchTo(n uint8) Switch { return Switch(0x80 | n) }

// Value is the number that is set; ok is false for the two that set none.
func (s Switch) Value() (n uint8, ok bool) { return uint8(s & 0x7f), s&0x80 != 0 }

// String is "keep", "reset" or the number.
func (s Switch) String() string {
	n, ok := s.Value()
	switch {
	case ok:
		return fmt.Sprint(n)
	case s == SwitchReset:
		return "reset"
	}
	return "keep"
}

func (s Switch) wire(mask uint8) uint8 {
	n, ok := s.Value()
	switch {
	case ok:
		return 0x80 | n&mask
	case s == SwitchReset:
		return 0
	}
	return 0x7f
}

func switchOf(wire, mask uint8) Switch {
	switch {
	case wire&0x80 != 0:
		return SwitchTo(wire & mask)
	case wire == 0:
		return SwitchReset
	}
	return SwitchKeep // 0x7f by the table; nothing without bit 7 is written
}

// AddressCommand is an order in an ArtAddress.
type AddressCommand uint8

// The commands of ArtAddress, table "Command". Those for a port act on the
// first port of the page; adding 1..3 for the others is deprecated, BindIndex
// picks the port.
const (
	CommandNone         AddressCommand = 0x00
	CommandCancelMerge  AddressCommand = 0x01
	CommandLEDNormal    AddressCommand = 0x02
	CommandLEDMute      AddressCommand = 0x03
	CommandLEDLocate    AddressCommand = 0x04
	CommandResetFlags   AddressCommand = 0x05
	CommandAnalysisOn   AddressCommand = 0x06
	CommandAnalysisOff  AddressCommand = 0x07
	CommandFailHold     AddressCommand = 0x08
	CommandFailZero     AddressCommand = 0x09
	CommandFailFull     AddressCommand = 0x0a
	CommandFailScene    AddressCommand = 0x0b
	CommandFailRecord   AddressCommand = 0x0c
	CommandMergeLTP     AddressCommand = 0x10
	CommandDirOutput    AddressCommand = 0x20
	CommandDirInput     AddressCommand = 0x30
	CommandMergeHTP     AddressCommand = 0x50
	CommandArtNet       AddressCommand = 0x60
	CommandSACN         AddressCommand = 0x70
	CommandClear        AddressCommand = 0x90
	CommandDelta        AddressCommand = 0xa0
	CommandConstant     AddressCommand = 0xb0
	CommandRDMOn        AddressCommand = 0xc0
	CommandRDMOff       AddressCommand = 0xd0
	CommandQueuePolicy0 AddressCommand = 0xe0 // to 0xef: BackgroundQueuePolicy 0..15
)

var addressCommandNames = map[AddressCommand]string{
	CommandNone:        "none",
	CommandCancelMerge: "cancel merge",
	CommandLEDNormal:   "indicators normal",
	CommandLEDMute:     "indicators off",
	CommandLEDLocate:   "locate",
	CommandResetFlags:  "reset flags",
	CommandAnalysisOn:  "analysis on",
	CommandAnalysisOff: "analysis off",
	CommandFailHold:    "hold on data loss",
	CommandFailZero:    "zero on data loss",
	CommandFailFull:    "full on data loss",
	CommandFailScene:   "scene on data loss",
	CommandFailRecord:  "record the scene for data loss",
	CommandMergeLTP:    "merge LTP",
	CommandDirOutput:   "output",
	CommandDirInput:    "input",
	CommandMergeHTP:    "merge HTP",
	CommandArtNet:      "follow Art-Net",
	CommandSACN:        "follow sACN",
	CommandClear:       "clear output",
	CommandDelta:       "output on change",
	CommandConstant:    "output all the time",
	CommandRDMOn:       "RDM on",
	CommandRDMOff:      "RDM off",
}

// String says what the command does, or its number.
func (c AddressCommand) String() string {
	if c >= CommandQueuePolicy0 && c <= 0xef {
		return fmt.Sprintf("background queue policy %d", c-CommandQueuePolicy0)
	}
	if name, ok := addressCommandNames[c]; ok {
		return name
	}
	if name, ok := addressCommandNames[c&^3]; ok && c >= CommandMergeLTP {
		return fmt.Sprintf("%s, port %d", name, c&3+1)
	}
	return fmt.Sprintf("command 0x%02x", uint8(c))
}

// MaxPriority is the highest priority of sACN, ANSI E1.31 section 6.2.3.
const MaxPriority = 200

const (
	addressSize      = 107
	priorityKeepWire = 255
)

// Address is ArtAddress: a controller sets up one page of a device, by unicast.
// The device answers with an ArtPollReply. The zero value with a BindIndex
// changes nothing. Art-Net 4, section "ArtAddress":
//
//	12     NetSwitch        104  SubSwitch
//	13     BindIndex        105  AcnPriority
//	14-31  PortName         106  Command
//	32-95  LongName
//	96-99  SwIn
//	100    SwOut, 4 bytes
type Address struct {
	NetSwitch Switch // of all ports of the page
	BindIndex uint8  // the page, as in its ArtPollReply
	// ShortName has at most 17 bytes and LongName 63; "" leaves the name as it
	// is.
	ShortName, LongName string
	SwIn, SwOut         [4]Switch // universe of each port
	SubSwitch           Switch    // of all ports of the page
	// AcnPriority 0..200 counts only with SetPriority.
	SetPriority bool
	AcnPriority uint8
	Command     AddressCommand
}

// OpCode is OpAddress.
func (*Address) OpCode() OpCode { return OpAddress }

// String names the page, the command and the names that are set.
func (a *Address) String() string {
	return fmt.Sprintf("%v page %d: %v, net %v, sub-net %v, in %v, out %v, names %q %q", OpAddress, a.BindIndex, a.Command,
		a.NetSwitch, a.SubSwitch, a.SwIn, a.SwOut, a.ShortName, a.LongName)
}

// AppendBinary appends 107 bytes. Errors wrap ErrText or ErrPriority.
func (a *Address) AppendBinary(b []byte) ([]byte, error) {
	if err := checkText(OpAddress, "short name", a.ShortName, MaxShortName); err != nil {
		return b, err
	}
	if err := checkText(OpAddress, "long name", a.LongName, MaxLongName); err != nil {
		return b, err
	}
	priority := uint8(priorityKeepWire)
	if a.SetPriority {
		if priority = a.AcnPriority; priority > MaxPriority {
			return b, fmt.Errorf("artnet: %v: %w: got %d, need 0..%d", OpAddress, ErrPriority, priority, MaxPriority)
		}
	}
	b = appendHeader(b, OpAddress)
	b = append(b, a.NetSwitch.wire(0x7f), a.BindIndex)
	b = appendText(b, a.ShortName, MaxShortName)
	b = appendText(b, a.LongName, MaxLongName)
	for _, s := range a.SwIn {
		b = append(b, s.wire(0x0f))
	}
	for _, s := range a.SwOut {
		b = append(b, s.wire(0x0f))
	}
	return append(b, a.SubSwitch.wire(0x0f), priority, uint8(a.Command)), nil
}

// Parse decodes b into a, leaving nothing of what a held and keeping nothing of
// b. A priority over 200 sets none. Errors wrap ErrNotArtNet, ErrOpCode,
// ErrShort or ErrVersion, and leave a as it was: a field that is missing would
// count as 0, which here means "reset".
func (a *Address) Parse(b []byte) error {
	if err := header(b, OpAddress, addressSize); err != nil {
		return err
	}
	*a = Address{
		NetSwitch: switchOf(b[12], 0x7f),
		BindIndex: b[13],
		ShortName: text(b[14:32]),
		LongName:  text(b[32:96]),
		SubSwitch: switchOf(b[104], 0x0f),
		Command:   AddressCommand(b[106]),
	}
	for i := range 4 {
		a.SwIn[i] = switchOf(b[96+i], 0x0f)
		a.SwOut[i] = switchOf(b[100+i], 0x0f)
	}
	if b[105] <= MaxPriority {
		a.SetPriority, a.AcnPriority = true, b[105]
	}
	return nil
}
