// Package artnet turns the Art-Net 4 packets of a lighting controller and of its
// devices into bytes and back. It opens no sockets and knows no colours.
// Implemented:
//
//	ArtPoll        ArtPollReply    ArtDiagData    ArtAddress
//	ArtDmx         ArtSync         ArtTimeCode    ArtTrigger
//	ArtTodRequest  ArtTodData      ArtTodControl  ArtRdm
//
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
// any protocol version from 14 on is taken.
//
// Left out: every other packet of the standard. OpCode names them all, so that
// a log can say what was ignored.
//
// Art-Net(TM) Designed by and Copyright Artistic Licence.
package artnet
