// Package sacn turns the packets of streaming ACN, ANSI E1.31-2018, into bytes
// and back: data, synchronization and universe discovery. It opens no sockets,
// keeps no time and knows no colours.
//
// Every packet encodes with AppendBinary, which grows a buffer the caller may
// re-use, and decodes with Parse, which picks the packet by its vectors, or with
// the Parse method of a packet struct, which re-uses that struct and its room.
//
// What the standard has a receiver discard is an error here: another preamble,
// identifier, vector or property format, lengths that disagree, a universe or
// priority out of range. Bytes after the root layer's length are ignored, as are
// reserved fields and option bits without a meaning. Another START code than 0
// is no error, because the packet may be for someone; Data.Levels is what may
// drive a lamp.
//
// Implemented, by section of the standard: 4.1-4.3 and 6.1-6.4 the packets, 5 the
// root layer, 6.2.3 priority, 6.2.4 and 6.3 sync addresses, 6.2.6 options,
// 6.7 the sequence window, 7 the DMP layer, 8 universe lists, 9 multicast
// groups.
//
// Left out: what takes time or sockets of a receiver (data loss, merging, joining
// of groups), and every START code's meaning but that of 0. What a source does in
// time (repetition, keep-alive, termination thrice) is artnet/sacn/source.
package sacn
