package artnet

import (
	"fmt"
	"strconv"
	"strings"
)

// Protocol is what the line at a port carries, the low bits of PortTypes.
type Protocol uint8

// The protocols that this package has a word for.
const (
	ProtocolDMX    Protocol = 0
	ProtocolMIDI   Protocol = 1
	ProtocolArtNet Protocol = 5
	ProtocolDALI   Protocol = 6
)

// String is the name of the standard, or the number.
func (p Protocol) String() string {
	switch p {
	case ProtocolDMX:
		return "DMX512"
	case ProtocolMIDI:
		return "MIDI"
	case ProtocolArtNet:
		return "Art-Net"
	case ProtocolDALI:
		return "DALI"
	}
	return fmt.Sprintf("protocol %d", uint8(p))
}

// Indicators is what the front panel of a device shows.
type Indicators uint8

// The states of the indicators, bits 7 and 6 of Status1.
const (
	IndicatorsUnknown Indicators = iota
	IndicatorsLocating
	IndicatorsMuted
	IndicatorsShown
)

// String is a word for the state.
func (i Indicators) String() string {
	return [...]string{"unknown", "locate", "mute", "normal"}[i&3]
}

// Indicators is what the device says its front panel shows.
func (r *PollReply) Indicators() Indicators { return Indicators(r.Status1 >> 6) }

// ReplyPort is one direction of one port of an ArtPollReply, with its bits of
// PortTypes, GoodInput, GoodOutputA and GoodOutputB.
type ReplyPort struct {
	Address  PortAddress
	Output   bool // from Art-Net to the line; else from the line to Art-Net
	Protocol Protocol
	Active   bool // data goes through

	// Of an output.
	Merging  bool // two sources are sent to it
	Latest   bool // when merging the latest counts, else the highest
	Shorted  bool // a short was found at power-on
	FromSACN bool // it follows sACN and not Art-Net
	NoRDM    bool

	// Of an input.
	Disabled bool
	Errors   bool // on reception
	ToSACN   bool // it makes sACN and not Art-Net
}

// Ports appends the ports of the page, an output before the input of the same
// port. NumPorts is not asked, as the standard allows.
func (r *PollReply) Ports(dst []ReplyPort) []ReplyPort {
	for i, kind := range r.PortTypes {
		protocol := Protocol(kind & 0x3f)
		if kind&PortOutput != 0 {
			a, b := r.GoodOutputA[i], r.GoodOutputB[i]
			dst = append(dst, ReplyPort{
				Address: NewPortAddress(r.NetSwitch, r.SubSwitch, r.SwOut[i]), Output: true, Protocol: protocol,
				Active: a&OutputActive != 0, Merging: a&OutputMerging != 0, Latest: a&OutputLatest != 0,
				Shorted: a&OutputShorted != 0, FromSACN: a&OutputSACN != 0, NoRDM: b&OutputNoRDM != 0,
			})
		}
		if kind&PortInput != 0 {
			g := r.GoodInput[i]
			dst = append(dst, ReplyPort{
				Address: NewPortAddress(r.NetSwitch, r.SubSwitch, r.SwIn[i]), Protocol: protocol,
				Active: g&InputReceived != 0, Disabled: g&InputDisabled != 0, Errors: g&InputErrors != 0, ToSACN: g&InputSACN != 0,
			})
		}
	}
	return dst
}

// Words says in plain words what is to be known of the port beyond its address.
func (p ReplyPort) Words() []string {
	var words []string
	say := func(is bool, text string) {
		if is {
			words = append(words, text)
		}
	}
	say(p.Protocol != ProtocolDMX, p.Protocol.String())
	say(p.Output && p.Active, "putting out data")
	say(p.Output && !p.Active, "no data")
	say(!p.Output && p.Active, "taking in data")
	say(p.Merging && !p.Latest, "merging two sources, the highest counts")
	say(p.Merging && p.Latest, "merging two sources, the latest counts")
	say(p.Shorted, "short-circuited when it was switched on")
	say(p.FromSACN, "follows sACN, not Art-Net")
	say(p.NoRDM, "RDM off")
	say(p.Disabled, "input switched off")
	say(p.Errors, "errors on reception")
	say(p.ToSACN, "makes sACN, not Art-Net")
	return words
}

// StatusWords says in plain words what the bits of Status1, Status2 and Status3
// tell about the device. A page that ends before a field says nothing of it.
func (r *PollReply) StatusWords() []string {
	var words []string
	say := func(is bool, text string) {
		if is {
			words = append(words, text)
		}
	}
	say(r.Status1&bootedROM != 0, "started from ROM, as after a failed update")
	say(r.Status1&authorityBits == AddressLocal, "port-address set at the device")
	say(r.Status1&authorityBits == addressNetwork, "port-address set over the network")
	say(r.Status1&RDMCapable != 0, "RDM")
	say(r.Status2&squawking != 0, "squawking")
	say(r.Status2&webPage != 0, "has a web page")
	say(r.Status2&usesDHCP != 0, "IP address by DHCP")
	say(r.Status2&Address15Bit == 0, "knows 8-bit port-addresses only")
	say(r.Status2&followsSACN != 0, "can follow sACN")
	if r.Status3&failOver != 0 {
		words = append(words, [...]string{
			"holds when data stops", "goes to zero when data stops", "goes to full when data stops", "plays a scene when data stops",
		}[r.Status3>>6])
	}
	return words
}

// Bits that only words are made of.
const (
	authorityBits  = 3 << 4 // Status1
	addressNetwork = 2 << 4 // Status1
	bootedROM      = 1 << 2 // Status1
	webPage        = 1 << 0 // Status2
	usesDHCP       = 1 << 1 // Status2
	followsSACN    = 1 << 4 // Status2
	squawking      = 1 << 5 // Status2
	failOver       = 1 << 5 // Status3
)

// reportTroubles are the codes of NodeReport that mean trouble, table
// "NodeReport Codes".
var reportTroubles = map[uint16]string{
	0x2: "its power-on tests failed",
	0x3: "its last datagram was cut short",
	0x4: "it cannot read what it is sent",
	0x5: "its sockets failed",
	0x8: "there are errors on its DMX512 input",
	0x9: "its DMX512 transmit buffer is full",
	0xa: "its DMX512 receive buffer is full",
	0xb: "its switches conflict",
	0xc: "its configuration does not match its hardware",
	0xd: "an output is short-circuited",
	0xe: "its firmware update failed",
	0xf: "a setting was refused: changes are locked",
}

// ReadNodeReport takes a NodeReport apart, "#xxxx [yyyy] words". ok is false
// when it does not have that form.
func ReadNodeReport(text string) (code uint16, count uint64, words string, ok bool) {
	rest, found := strings.CutPrefix(text, "#")
	if !found {
		return 0, 0, "", false
	}
	hex, rest, found := strings.Cut(rest, " [")
	c, err := strconv.ParseUint(hex, 16, 16)
	if !found || err != nil || len(hex) != 4 {
		return 0, 0, "", false
	}
	digits, words, found := strings.Cut(rest, "]")
	n, err := strconv.ParseUint(digits, 10, 64)
	if !found || err != nil {
		return 0, 0, "", false
	}
	return uint16(c), n, strings.TrimSpace(words), true
}

// ReportTrouble is what a NodeReport says is wrong with its device, in plain
// words; "" when it says nothing of the kind.
func ReportTrouble(text string) string {
	code, _, _, ok := ReadNodeReport(text)
	if !ok {
		return ""
	}
	return reportTroubles[code]
}
