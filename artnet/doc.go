// Package artnet turns the Art-Net 4 packets of a lighting controller into
// bytes and back: ArtDmx, ArtPoll, ArtPollReply and ArtSync. It opens no
// sockets and knows no colours.
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
