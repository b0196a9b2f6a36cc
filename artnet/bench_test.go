package artnet_test

import (
	"bytes"
	"encoding/binary"
	"testing"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

func BenchmarkAppendDmx(b *testing.B) {
	dmx := artnet.Dmx{Sequence: 1, PortAddress: 291, Data: ramp(512)}
	b.Run("buffer kept", func(b *testing.B) {
		b.ReportAllocs()
		buf := make([]byte, 0, 530)
		for b.Loop() {
			buf, _ = dmx.AppendBinary(buf[:0])
		}
	})
	b.Run("buffer new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = dmx.AppendBinary(nil)
		}
	})
	// The baseline: a struct as on the wire, written by reflection.
	b.Run("baseline encoding binary", func(b *testing.B) {
		b.ReportAllocs()
		packet := struct {
			ID             [8]byte
			OpCode         [2]byte
			Version        uint16
			Sequence, Phys uint8
			SubUni, Net    uint8
			Length         uint16
			Data           [512]byte
		}{Version: 14, Length: 512}
		var buf bytes.Buffer
		for b.Loop() {
			buf.Reset()
			_ = binary.Write(&buf, binary.BigEndian, &packet)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	dmx, reply := outside.Golden(b, "artdmx-512"), outside.Golden(b, "artpollreply-node")
	b.Run("ArtDmx struct kept", func(b *testing.B) {
		b.ReportAllocs()
		var d artnet.Dmx
		for b.Loop() {
			_ = d.Parse(dmx)
		}
	})
	b.Run("ArtDmx struct new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = artnet.Parse(dmx)
		}
	})
	b.Run("ArtPollReply struct new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = artnet.Parse(reply)
		}
	})
	b.Run("garbage", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = artnet.Parse(dmx[1:])
		}
	})
}

// Every kind of packet, beside a copy of as many bytes.
func BenchmarkEveryKind(b *testing.B) {
	for _, g := range goldenPackets {
		wire := outside.Golden(b, g.file)
		b.Run(g.file+" append", func(b *testing.B) {
			b.ReportAllocs()
			buf := make([]byte, 0, 600)
			for b.Loop() {
				buf, _ = g.packet.AppendBinary(buf[:0])
			}
		})
		b.Run(g.file+" parse", func(b *testing.B) {
			b.ReportAllocs()
			used, _ := artnet.Parse(wire)
			p := used.(interface{ Parse([]byte) error })
			for b.Loop() {
				_ = p.Parse(wire)
			}
		})
		b.Run(g.file+" baseline copy", func(b *testing.B) {
			b.ReportAllocs()
			to := make([]byte, len(wire))
			for b.Loop() {
				copy(to, wire)
			}
		})
	}
}
