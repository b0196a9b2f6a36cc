package artnet

import (
	"encoding/binary"
	"fmt"
	"net/netip"
)

// Style says what a device is.
type Style uint8

// The styles of ArtPollReply.
const (
	StyleNode       Style = 0 // DMX to or from Art-Net
	StyleController Style = 1
	StyleMedia      Style = 2
	StyleRoute      Style = 3
	StyleBackup     Style = 4
	StyleConfig     Style = 5
	StyleVisual     Style = 6
)

// String is a plain word for the style.
func (s Style) String() string {
	names := [...]string{"node", "controller", "media server", "router", "backup", "configuration", "visualiser"}
	if int(s) < len(names) {
		return names[s]
	}
	return fmt.Sprintf("style %d", uint8(s))
}

// Bits of the fields of ArtPollReply that are used here. Everything else of
// those fields travels as it is given.
const (
	PortOutput = 1 << 7 // PortTypes: puts data from Art-Net out
	PortInput  = 1 << 6 // PortTypes: puts data onto Art-Net

	InputReceived  = 1 << 7 // GoodInput: data received
	InputDisabled  = 1 << 3 // GoodInput
	InputErrors    = 1 << 2 // GoodInput: errors on reception
	InputSACN      = 1 << 0 // GoodInput: makes sACN, else Art-Net
	OutputActive   = 1 << 7 // GoodOutputA: data being output
	OutputMerging  = 1 << 3 // GoodOutputA: two sources send to it
	OutputShorted  = 1 << 2 // GoodOutputA: short found at power-on
	OutputLatest   = 1 << 1 // GoodOutputA: merges LTP, else HTP
	OutputSACN     = 1 << 0 // GoodOutputA: follows sACN, else Art-Net
	OutputContinue = 1 << 6 // GoodOutputB: sends all the time, not only on change
	OutputNoRDM    = 1 << 7 // GoodOutputB: RDM is off

	IndicatorsLocate = 1 << 6 // Status1
	IndicatorsMute   = 2 << 6 // Status1
	IndicatorsNormal = 3 << 6 // Status1
	AddressLocal     = 1 << 4 // Status1: port-address set at the device
	RDMCapable       = 1 << 1 // Status1: has a table of RDM devices
	Address15Bit     = 1 << 3 // Status2: knows 15-bit port-addresses
)

// Lengths of ArtPollReply and of its texts, without the NUL that ends them.
const (
	MaxShortName  = 17
	MaxLongName   = 63
	MaxNodeReport = 63

	pollReplyLeast = 207 // up to and with the MAC; the rest came later
	pollReplyFull  = 239
)

// PollReply is ArtPollReply: what a device says about itself, or about one
// page of up to four ports of itself; Pages lays out several. Art-Net 4,
// section "ArtPollReply":
//
//	10   IpAddress, 4 bytes       174  PortTypes, 4       201  MAC, 6
//	14   Port, low byte first     178  GoodInput, 4       207  BindIp, 4
//	16   VersInfo, 2 bytes        182  GoodOutputA, 4     211  BindIndex
//	18   NetSwitch                186  SwIn, 4            212  Status2
//	19   SubSwitch                190  SwOut, 4           213  GoodOutputB, 4
//	20   Oem, 2 bytes             194  AcnPriority        217  Status3
//	22   UbeaVersion              195  SwMacro            218  DefaultRespUID, 6
//	23   Status1                  196  SwRemote           224  User, 2
//	24   EstaMan, low byte first  197  Spare, 3           226  RefreshRate, 2
//	26   PortName, 18 with NUL    200  Style              228  BackgroundQueuePolicy
//	44   LongName, 64                                     229  Filler, 10
//	108  NodeReport, 64
//	172  NumPorts, 2 bytes
type PollReply struct {
	IP        netip.Addr // IPv4; the zero Addr stands for 0.0.0.0
	Port      uint16     // always 6454; receivers had better not trust it
	Version   uint16     // the device's own firmware version
	NetSwitch uint8      // net of all ports of this page, 0..127
	SubSwitch uint8      // sub-net of all ports of this page, 0..15
	Oem       uint16
	Ubea      uint8
	Status1   uint8
	EstaMan   uint16
	// ShortName has at most 17 bytes, LongName and NodeReport 63.
	ShortName, LongName string
	NodeReport          string // see NodeReport, the function
	NumPorts            uint16 // 0..4; receivers may ignore it
	PortTypes           [4]uint8
	GoodInput           [4]uint8
	GoodOutputA         [4]uint8
	SwIn, SwOut         [4]uint8 // universe of each port, 0..15
	AcnPriority         uint8
	SwMacro, SwRemote   uint8
	Style               Style
	MAC                 [6]byte    // zero where unknown
	BindIP              netip.Addr // the root device's
	BindIndex           uint8      // page: 1 (or 0) is the root, 2, 3 ... follow
	Status2             uint8
	GoodOutputB         [4]uint8
	Status3             uint8
	DefaultRespUID      [6]byte
	User                uint16
	RefreshRate         uint16 // Hz; 0..44 means plain DMX512, 44 Hz
	QueuePolicy         uint8  // BackgroundQueuePolicy
}

// OpCode is OpPollReply.
func (*PollReply) OpCode() OpCode { return OpPollReply }

// String is the name, the page and its port-addresses.
func (r *PollReply) String() string {
	return fmt.Sprintf("%v %v %q, %v, page %d, out %v, in %v", OpPollReply, r.IP, r.ShortName, r.Style, r.BindIndex, r.Outputs(nil), r.Inputs(nil))
}

// NodeReport is the text of the NodeReport field: a status code, a count that
// goes up with every reply (its last four digits), and words. 1 is "power OK".
func NodeReport(code uint16, count uint64, words string) string {
	text := fmt.Sprintf("#%04x [%04d] %s", code, count%10000, words)
	return text[:min(len(text), MaxNodeReport)]
}

// Outputs appends the port-addresses that the page puts out from Art-Net: its
// subscriptions. NumPorts is not asked, as the standard allows.
func (r *PollReply) Outputs(dst []PortAddress) []PortAddress {
	return r.ports(dst, PortOutput, &r.SwOut)
}

// Inputs appends the port-addresses that the page puts onto Art-Net.
func (r *PollReply) Inputs(dst []PortAddress) []PortAddress {
	return r.ports(dst, PortInput, &r.SwIn)
}

func (r *PollReply) ports(dst []PortAddress, bit uint8, universes *[4]uint8) []PortAddress {
	for i, kind := range r.PortTypes {
		if kind&bit != 0 {
			dst = append(dst, NewPortAddress(r.NetSwitch, r.SubSwitch, universes[i]))
		}
	}
	return dst
}

// AppendBinary appends 239 bytes. Errors wrap ErrText or ErrAddress.
func (r *PollReply) AppendBinary(b []byte) ([]byte, error) {
	if err := r.check(); err != nil {
		return b, err
	}
	b = appendHeader(b, OpPollReply)
	b = appendIP(b, r.IP)
	b = binary.LittleEndian.AppendUint16(b, r.Port)
	b = binary.BigEndian.AppendUint16(b, r.Version)
	b = append(b, r.NetSwitch&0x7f, r.SubSwitch&0x0f)
	b = binary.BigEndian.AppendUint16(b, r.Oem)
	b = append(b, r.Ubea, r.Status1)
	b = binary.LittleEndian.AppendUint16(b, r.EstaMan)
	b = appendText(b, r.ShortName, MaxShortName)
	b = appendText(b, r.LongName, MaxLongName)
	b = appendText(b, r.NodeReport, MaxNodeReport)
	b = binary.BigEndian.AppendUint16(b, r.NumPorts)
	b = append(b, r.PortTypes[:]...)
	b = append(b, r.GoodInput[:]...)
	b = append(b, r.GoodOutputA[:]...)
	b = appendNibbles(b, r.SwIn)
	b = appendNibbles(b, r.SwOut)
	b = append(b, r.AcnPriority, r.SwMacro, r.SwRemote, 0, 0, 0, uint8(r.Style))
	b = append(b, r.MAC[:]...)
	b = appendIP(b, r.BindIP)
	b = append(b, r.BindIndex, r.Status2)
	b = append(b, r.GoodOutputB[:]...)
	b = append(b, r.Status3)
	b = append(b, r.DefaultRespUID[:]...)
	b = binary.BigEndian.AppendUint16(b, r.User)
	b = binary.BigEndian.AppendUint16(b, r.RefreshRate)
	b = append(b, r.QueuePolicy)
	return appendZeros(b, 10), nil // Filler
}

// Parse decodes b into r, leaving nothing of what r held and keeping nothing of
// b. 207 bytes are enough. Errors wrap ErrNotArtNet, ErrOpCode or ErrShort, and
// leave r as it was.
func (r *PollReply) Parse(b []byte) error {
	if err := header(b, OpPollReply, pollReplyLeast); err != nil {
		return err
	}
	var f [pollReplyFull]byte
	copy(f[:], b)
	*r = PollReply{
		IP:          netip.AddrFrom4([4]byte(f[10:])),
		Port:        binary.LittleEndian.Uint16(f[14:]),
		Version:     binary.BigEndian.Uint16(f[16:]),
		NetSwitch:   f[18] & 0x7f,
		SubSwitch:   f[19] & 0x0f,
		Oem:         binary.BigEndian.Uint16(f[20:]),
		Ubea:        f[22],
		Status1:     f[23],
		EstaMan:     binary.LittleEndian.Uint16(f[24:]),
		ShortName:   text(f[26:44]),
		LongName:    text(f[44:108]),
		NodeReport:  text(f[108:172]),
		NumPorts:    binary.BigEndian.Uint16(f[172:]),
		PortTypes:   [4]uint8(f[174:]),
		GoodInput:   [4]uint8(f[178:]),
		GoodOutputA: [4]uint8(f[182:]),
		SwIn:        nibbles(f[186:]),
		SwOut:       nibbles(f[190:]),
		AcnPriority: f[194],
		SwMacro:     f[195],
		SwRemote:    f[196],
		Style:       Style(f[200]),
		MAC:         [6]byte(f[201:]),
		BindIP:      netip.AddrFrom4([4]byte(f[207:])),
		BindIndex:   f[211],
		Status2:     f[212],
		GoodOutputB: [4]uint8(f[213:]),
		Status3:     f[217],

		DefaultRespUID: [6]byte(f[218:]),
		User:           binary.BigEndian.Uint16(f[224:]),
		RefreshRate:    binary.BigEndian.Uint16(f[226:]),
		QueuePolicy:    f[228],
	}
	return nil
}

func (r *PollReply) check() error {
	if err := checkText(OpPollReply, "short name", r.ShortName, MaxShortName); err != nil {
		return err
	}
	if err := checkText(OpPollReply, "long name", r.LongName, MaxLongName); err != nil {
		return err
	}
	if err := checkText(OpPollReply, "node report", r.NodeReport, MaxNodeReport); err != nil {
		return err
	}
	for _, ip := range []netip.Addr{r.IP, r.BindIP} {
		if ip.IsValid() && !ip.Is4() {
			return fmt.Errorf("artnet: %v: %w: %v", OpPollReply, ErrAddress, ip)
		}
	}
	return nil
}

func appendIP(b []byte, ip netip.Addr) []byte {
	if !ip.IsValid() {
		return append(b, 0, 0, 0, 0)
	}
	four := ip.As4()
	return append(b, four[:]...)
}

func appendNibbles(b []byte, n [4]uint8) []byte {
	return append(b, n[0]&0x0f, n[1]&0x0f, n[2]&0x0f, n[3]&0x0f)
}

func nibbles(b []byte) [4]uint8 {
	return [4]uint8{b[0] & 0x0f, b[1] & 0x0f, b[2] & 0x0f, b[3] & 0x0f}
}
