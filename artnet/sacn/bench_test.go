package sacn_test

import (
	"bytes"
	"encoding/binary"
	"testing"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

func BenchmarkAppendData(b *testing.B) {
	data := goldenPackets(b)["e131-data-512-synced"]
	b.Run("buffer kept", func(b *testing.B) {
		b.ReportAllocs()
		buf := make([]byte, 0, 700)
		for b.Loop() {
			buf, _ = data.AppendBinary(buf[:0])
		}
	})
	b.Run("prepared packet changed in place", func(b *testing.B) {
		b.ReportAllocs()
		packet, slots := outside.Golden(b, "e131-data-512-synced"), ramp(512)
		for b.Loop() {
			packet[sacn.DataSequenceAt]++
			copy(packet[sacn.DataSlotsAt:], slots)
		}
	})
	// The baselines: 638 bytes copied, and a struct as on the wire written by
	// reflection.
	b.Run("baseline copy", func(b *testing.B) {
		b.ReportAllocs()
		from, to := outside.Golden(b, "e131-data-512-synced"), make([]byte, 638)
		for b.Loop() {
			copy(to, from)
		}
	})
	b.Run("baseline encoding binary", func(b *testing.B) {
		b.ReportAllocs()
		var packet struct {
			Preamble    [16]byte
			RootLength  uint16
			RootVector  uint32
			CID         [16]byte
			FrameLength uint16
			FrameVector uint32
			Name        [64]byte
			Priority    uint8
			Sync        uint16
			Seq, Opt    uint8
			Universe    uint16
			DMPLength   uint16
			Format      [6]byte
			Count       uint16
			Start       uint8
			Slots       [512]byte
		}
		var buf bytes.Buffer
		for b.Loop() {
			buf.Reset()
			_ = binary.Write(&buf, binary.BigEndian, &packet)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	wire, list := outside.Golden(b, "e131-data-512-synced"), outside.Golden(b, "e131-discovery")
	b.Run("data struct kept", func(b *testing.B) {
		b.ReportAllocs()
		var d sacn.Data
		for b.Loop() {
			_ = d.Parse(wire)
		}
	})
	b.Run("data struct new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = sacn.Parse(wire)
		}
	})
	b.Run("discovery struct kept", func(b *testing.B) {
		b.ReportAllocs()
		var d sacn.Discovery
		for b.Loop() {
			_ = d.Parse(list)
		}
	})
	b.Run("garbage", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = sacn.Parse(wire[1:])
		}
	})
	// The baseline: the head copied, and nothing looked at.
	b.Run("baseline copy of the head", func(b *testing.B) {
		b.ReportAllocs()
		var head [126]byte
		for b.Loop() {
			copy(head[:], wire)
		}
	})
}
