package artnet_test

import (
	"encoding/hex"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/sacn"
)

// E1.31 as tshark 4.0.17 reads it. It has no fields for synchronization,
// discovery and Force_Synchronization, which are asserted by their offset, and
// calls the sync address "reserved". It takes packets of 5 slots or fewer for
// malformed, so these have more.
func TestDissectorReadsOurE131(t *testing.T) {
	name, err := sacn.NewName("key and fill, Bühne")
	require.NoError(t, err)
	cid := sacn.CID{0x0f, 0x1e, 0x2d, 0x3c, 0x4b, 0x5a, 0x49, 0x78, 0xa6, 0xb5, 0xc4, 0xd3, 0xe2, 0xf1, 0x02, 0x03}
	const root = "00100000" + "4153432d45312e3137000000" // preamble, post-amble, "ASC-E1.17"
	slots := hex.EncodeToString(ramp(512))
	dissect(t, sacn.Port, []dissected{
		{"512 slots, synchronized, preview", &sacn.Data{
			CID: cid, SourceName: name, Priority: 150, SyncAddress: 7962, Sequence: 200, Options: sacn.Preview | sacn.ForceSync, Universe: 63999, Slots: ramp(512),
		}, map[string]string{
			"acn.preamble_size": "16", "acn.postamble_size": "0", "acn.packet_identifier": "ASC-E1.17", "acn.cid": cid.String(),
			"acn.pdu.length": "622,600,523", "acn.protocol_id": "4", "acn.dmx_vector": "2", "acn.dmp_vector": "2",
			"acn.dmx.source_name": name.String(), "acn.dmx.priority": "150", "acn.dmx.reserved": "7962", "acn.dmx.seq_number": "200",
			"acn.dmx.options": "160", "acn.dmx.option_p": "1", "acn.dmx.option_s": "0", "acn.dmx.universe": "63999",
			"acn.dmx.first_property_address": "0", "acn.dmx.increment": "1", "acn.dmx.count": "513", "acn.dmx.start_code2": "0",
			"acn.dmp_adt_a": "1", "acn.dmp_adt_d": "2",
		}, map[int]string{126: slots}},
		{"6 slots, terminated", &sacn.Data{
			CID: cid, SourceName: name, Priority: 0, Sequence: 0, Options: sacn.Terminated, Universe: 1, Slots: ramp(6),
		}, map[string]string{
			"acn.pdu.length": "116,94,17", "acn.dmx.priority": "0", "acn.dmx.reserved": "0", "acn.dmx.seq_number": "0", "acn.dmx.options": "64",
			"acn.dmx.option_p": "0", "acn.dmx.option_s": "1", "acn.dmx.universe": "1", "acn.dmx.count": "7",
		}, map[int]string{126: slots[:12]}},
		{"an alternate START code", &sacn.Data{CID: cid, SourceName: name, Priority: 100, Universe: 291, StartCode: 0xdd, Slots: ramp(512)}, map[string]string{
			"acn.dmx.start_code2": "221", "acn.dmx.universe": "291",
		}, map[int]string{126: slots}},
		{"synchronization", &sacn.Sync{CID: cid, Sequence: 42, Address: 7962}, nil,
			map[int]string{0: root + "7021" + "00000008" + hex.EncodeToString(cid[:]), 38: "700b" + "00000001" + "2a" + "1f1a" + "0000"}},
		{"discovery", &sacn.Discovery{CID: cid, SourceName: name, Page: 1, LastPage: 2, Universes: []sacn.Universe{1, 2, 63999}}, nil, map[int]string{0: root + "706e" + "00000008" + hex.EncodeToString(cid[:]), 38: "7058" + "00000002", 44: hex.EncodeToString(name[:]), 108: "00000000" + "700e" + "00000001" + "01" + "02" + "0001" + "0002" + "f9ff"}},
	}, nil, "--enable-heuristic", "acn", "-o", "acn.dmx_enable:TRUE")
}
