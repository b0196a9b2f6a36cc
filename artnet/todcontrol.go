package artnet

import "fmt"

// TodControlCommand is an order to the discovery of an output gateway.
type TodControlCommand uint8

// The commands of ArtTodControl.
const (
	TodControlNone           TodControlCommand = 0
	TodControlFlush          TodControlCommand = 1 // drop the table, discover all; interrupts normal traffic
	TodControlEnd            TodControlCommand = 2 // end the discovery that runs
	TodControlIncrementalOn  TodControlCommand = 3
	TodControlIncrementalOff TodControlCommand = 4
)

// String says what the command does.
func (c TodControlCommand) String() string {
	names := [...]string{"none", "flush and discover", "end discovery", "incremental discovery on", "incremental discovery off"}
	if int(c) < len(names) {
		return names[c]
	}
	return fmt.Sprintf("command %d", uint8(c))
}

const todControlSize = 24

// TodControl is ArtTodControl. Art-Net 4, section "ArtTodControl":
//
//	12  Filler, 2 bytes   21  Net       23  Address
//	14  Spare, 7 bytes    22  Command
type TodControl struct {
	PortAddress PortAddress
	Command     TodControlCommand
}

// OpCode is OpTodControl.
func (*TodControl) OpCode() OpCode { return OpTodControl }

// String is the port-address and the command.
func (c *TodControl) String() string {
	return fmt.Sprintf("%v %v: %v", OpTodControl, c.PortAddress, c.Command)
}

// AppendBinary appends 24 bytes. Errors wrap ErrPortAddress.
func (c *TodControl) AppendBinary(b []byte) ([]byte, error) {
	if err := c.PortAddress.check(); err != nil {
		return b, err
	}
	b = appendZeros(appendHeader(b, OpTodControl), 9)
	return append(b, c.PortAddress.Net(), uint8(c.Command), uint8(c.PortAddress)), nil
}

// Parse decodes b into c. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort or
// ErrVersion, and leave c as it was.
func (c *TodControl) Parse(b []byte) error {
	if err := header(b, OpTodControl, todControlSize); err != nil {
		return err
	}
	*c = TodControl{PortAddress: join(b[21], b[23]), Command: TodControlCommand(b[22])}
	return nil
}
