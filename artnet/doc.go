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
// # Cost
//
// What sending takes, on one of two shared cores of a server (AMD EPYC, Linux
// 6.18) over loopback, so that the kernel's receiving is in it too. All
// universes change in each frame and go to devices of 4; "core" is the share of
// one at 44 Hz (link, BenchmarkCostOfAUniverse):
//
//	universes     1       16      256     1024
//	a universe    11 us   7.7 us  2.8 us  2.8 us
//	core          0.05 %  0.5 %   3.1 %   12.5 %
//
// The bytes of an ArtDmx are 30 ns of that (BenchmarkAppendDmx), finding out
// that a universe is not due 40 ns (link, BenchmarkPlan); the rest is the
// kernel's. A universe takes 940 bytes, a link 320 kB, of which 262 kB are a
// pointer for every port-address there can be (BenchmarkPlan). Single datagrams
// to devices of one universe go at 0.9 of what a bare sendmmsg loop does, from
// four a device on at 2.5 of it (link, BenchmarkSendBesideBare).
//
// A port-address has 15 bits: 32768 of them, one deprecated. All at 44 Hz are
// 1.44 million datagrams a second, by the figures above four cores and 31 MB.
// Of 530 bytes, 596 on an Ethernet with all that goes around them, that is 6.9
// Gbit/s: the network ends first, at 476 universes on 100 Mbit/s and 4767 on
// 1 Gbit/s.
//
// Universes depend on each other only through ArtSync, so the work splits by
// universe. A link is one goroutine and one interface: links on two interfaces
// use two cores and two networks. Beyond one machine each daemon serves
// port-addresses of its own, never one that another has too, since devices take
// two sources for a merge, and all follow the same time code. An ArtSync counts
// only from the sender of a device's ArtDmx: devices that must change together
// belong to one daemon.
//
// Art-Net(TM) Designed by and Copyright Artistic Licence.
package artnet
