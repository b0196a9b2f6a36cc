// Package artnet turns the packets of Art-Net 4 that a lighting controller or a
// node needs into bytes and back. It opens no sockets and knows no colours.
// The message in an ArtRdm is bytes here; package rdm reads it. ANSI E1.31, the
// other way to the same devices, is package sacn.
//
// Every packet encodes with AppendBinary, which grows a buffer the caller may
// re-use, and decodes with Parse, which picks the packet by its op-code, or
// with the Parse method of a packet struct, which re-uses that struct.
//
// What the standard asks of a receiver is kept: only a least length is
// checked, fields missing from a short packet count as zero, bytes after a
// packet are ignored, bits without a meaning are neither tested nor kept, and
// any protocol version from 14 on is taken. A list longer than its packet, an
// odd number of slots and a time that no clock shows are errors.
//
// Implemented, by section of the Art-Net 4 specification, revision 1.4dp:
//
//	ArtPoll        with targeted mode          ArtAddress     all commands
//	ArtPollReply   with pages, BindIndex       ArtTimeCode    with streams
//	ArtDmx         with sequence numbers       ArtTrigger     with its payload
//	ArtSync                                    ArtDiagData
//	ArtTodRequest  ArtTodData, in blocks       ArtTodControl
//	ArtRdm         with FifoAvail, FifoMax
//
// Left out: ArtIpProg and ArtIpProgReply, which change a device's address and are
// better done at the device; ArtInput; ArtNzs and ArtVlc; ArtCommand,
// ArtDataRequest and ArtDataReply; ArtRdmSub, which is optional beside ArtRdm;
// ArtTimeSync; firmware, file, media, directory and video packets. OpCode names
// those of them that are met, so that a log can say what was ignored.
//
// Art-Net(TM) Designed by and Copyright Artistic Licence.
package artnet
