// Package listen tells what levels arrive on this machine, over Art-Net and over
// E1.31 (sACN): from whom, on which universe, how often, in order or not, and
// which slots changed. It drives nothing.
//
// A Table takes datagrams and keeps no socket; a Listener brings it those of a
// network. The rules of a receiver that it keeps, each with its test:
//
//	rule                                                          test
//	E1.31 6.2.3   the highest priority on a universe counts       TestHighestPriorityCounts
//	E1.31 6.2.6   Preview_Data never changes levels               TestPreviewIsSaidAndChangesNothing
//	E1.31 6.2.6   Stream_Terminated ends a source at once         TestTerminated
//	E1.31 6.2.4   a sync address is said; levels act at once      TestSynchronizationIsSaid
//	E1.31 6.7.1   data loss after 2.5 s, by universe              TestDataLoss
//	E1.31 6.7.2   discarded when -20 < difference <= 0            TestSequenceOfE131
//	              by source, by universe                          TestSequenceIsKeptBySourceAndUniverse
//	E1.31 4.1, 7  other START codes are no levels                 TestOtherStartCodes
//	E1.31 4.3, 8  lists of universes, forgotten after two         TestUniverseDiscovery
//	              intervals
//	Art-Net 4, ArtDmx   sequence by port-address; 0 never drops   TestSequenceOfArtNet
//	Art-Net 4, ArtDmx   a short packet changes only its slots     TestShortPacketHoldsTheRest
//	Art-Net 4, ArtDmx   sources told apart by IP or by Physical   TestSourcesOfArtNet
//	Art-Net 4, ArtPollReply   indicators time out after 6 s       TestArtNetStops
//
// Merging of equal priorities is left to those who put light out: a universe
// with several sources shows each of them.
package listen
