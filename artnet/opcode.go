package artnet

import "fmt"

// OpCode says what kind of packet it is. It is the one number of the header
// that travels low byte first.
type OpCode uint16

// The op-codes of Art-Net 4, table "OpCodes".
const (
	OpPoll        OpCode = 0x2000
	OpPollReply   OpCode = 0x2100
	OpDiagData    OpCode = 0x2300
	OpCommand     OpCode = 0x2400
	OpDataRequest OpCode = 0x2700
	OpDataReply   OpCode = 0x2800
	OpDmx         OpCode = 0x5000
	OpNzs         OpCode = 0x5100
	OpSync        OpCode = 0x5200
	OpAddress     OpCode = 0x6000
	OpInput       OpCode = 0x7000
	OpTodRequest  OpCode = 0x8000
	OpTodData     OpCode = 0x8100
	OpTodControl  OpCode = 0x8200
	OpRdm         OpCode = 0x8300
	OpRdmSub      OpCode = 0x8400
	OpTimeCode    OpCode = 0x9700
	OpTimeSync    OpCode = 0x9800
	OpTrigger     OpCode = 0x9900
	OpIPProg      OpCode = 0xf800
	OpIPProgReply OpCode = 0xf900
)

var opCodeNames = map[OpCode]string{
	OpPoll:        "ArtPoll",
	OpPollReply:   "ArtPollReply",
	OpDiagData:    "ArtDiagData",
	OpCommand:     "ArtCommand",
	OpDataRequest: "ArtDataRequest",
	OpDataReply:   "ArtDataReply",
	OpDmx:         "ArtDmx",
	OpNzs:         "ArtNzs",
	OpSync:        "ArtSync",
	OpAddress:     "ArtAddress",
	OpInput:       "ArtInput",
	OpTodRequest:  "ArtTodRequest",
	OpTodData:     "ArtTodData",
	OpTodControl:  "ArtTodControl",
	OpRdm:         "ArtRdm",
	OpRdmSub:      "ArtRdmSub",
	OpTimeCode:    "ArtTimeCode",
	OpTimeSync:    "ArtTimeSync",
	OpTrigger:     "ArtTrigger",
	OpIPProg:      "ArtIpProg",
	OpIPProgReply: "ArtIpProgReply",
}

// String is the standard's name of the packet, or the number where none is
// listed here.
func (c OpCode) String() string {
	if name, ok := opCodeNames[c]; ok {
		return name
	}
	return fmt.Sprintf("0x%04x", uint16(c))
}
