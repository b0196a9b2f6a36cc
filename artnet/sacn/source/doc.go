// Package source sends frames as an E1.31 source: it is to streaming ACN what
// artnet/link is to Art-Net, and takes the same frames.
//
// # Universes
//
// Port-address n is universe n, the mapping that Art-Net 4 itself gives: one
// number on a label then means the same lamp over both. Config.Offset moves all
// of them by a number, for networks that count otherwise and for port-address 0,
// which has no universe of the same number. What has no universe within 1..63999
// is not sent; Stats counts it.
//
// # What goes out when
//
// A universe is sent when it changes, three times in all with the same levels,
// and then every 800 to 1000 ms (ANSI E1.31 section 6.6). The first frame of a
// cue is sent in any case. No universe goes faster than a DMX512 line can carry
// it. A universe that leaveAfter frames in a row lack has been left: it gets
// three packets with Stream_Terminated, one a frame, and Close sends three for
// every universe.
//
// With Config.Sync a frame of several universes carries that synchronization
// address, and one synchronization packet follows it. A frame of one universe
// needs none and carries address 0, which receivers act on at once. There is no
// gap between data and synchronization: the loop that calls SendFrame cannot
// wait for one. Force_Synchronization is set, so a receiver that loses
// synchronization goes on by the data instead of freezing.
//
// # Who it is
//
// The CID must be the same after a restart, so that receivers take the source for
// the one they know, and must never be that of another source, because receivers
// compare sequence numbers by it. NewCID therefore derives it by name (RFC 4122
// version 5) from the machine, the show's folder and how the source is set up.
// Kept in the show's folder it would be copied with the show to a second
// machine; kept beside the program it would be the same for two shows at once.
//
// # Rules of ANSI E1.31-2018 for sources, and their tests
//
//	5.6    one CID for the life of the source          TestEveryPacketSaysWhoSends
//	6.2.3  priority 0..200                             TestEveryPacketSaysWhoSends, TestConfigRefuses
//	6.2.4  sync address in data                        TestSyncFollowsAFrameOfSeveralUniverses
//	6.2.5  sequence, per universe, wrapping            TestSequencePerUniverse
//	6.2.6  Preview_Data                                TestPreviewIsMarked
//	6.2.6  Stream_Terminated, three times              TestUniverseThatIsLeft, TestCloseEndsEveryUniverse
//	6.2.7  universe 1..63999                           TestUniverseOfAPortAddress
//	6.3    sync sequence of its own, own group         TestSyncFollowsAFrameOfSeveralUniverses
//	6.4    universe list every 10 s to 64214, pages    TestUniverseDiscovery, TestDiscoveryPages
//	6.6.1  no faster than DMX512                       TestNoFasterThanALine
//	6.6.2  three of the same, then 800..1000 ms        TestUnchangedLevels
//	9.3    group 239.255.hi.lo, or named receivers     TestWhereItGoes
//
// Section numbers of rules are those of our notes on the standard. What concerns
// receivers (sequence window, data loss after 2.5 s, merging) is not of a source;
// the window is sacn.Overtaken.
//
// Left out: IPv6, START codes other than 0, and per-slot priority, which is not
// part of the standard.
package source
