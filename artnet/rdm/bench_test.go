package rdm_test

import (
	"bytes"
	"encoding/binary"
	"testing"

	"linkboy/artnet/rdm"
)

func BenchmarkMessage(b *testing.B) {
	wire := whole(b, "artrdm-deviceinfo-response")
	var m rdm.Message
	_ = m.Parse(wire)
	b.Run("append", func(b *testing.B) {
		b.ReportAllocs()
		buf := make([]byte, 0, rdm.MaxSize)
		for b.Loop() {
			buf, _ = m.AppendBinary(buf[:0])
		}
	})
	b.Run("parse", func(b *testing.B) {
		b.ReportAllocs()
		var m rdm.Message
		for b.Loop() {
			_ = m.Parse(wire)
		}
	})
	b.Run("parse and decode", func(b *testing.B) {
		b.ReportAllocs()
		var m rdm.Message
		for b.Loop() {
			_ = m.Parse(wire)
			_, _ = m.Decode()
		}
	})
	// The baselines: the sum alone, and the head written by reflection.
	b.Run("baseline checksum", func(b *testing.B) {
		b.ReportAllocs()
		var sum uint16
		for b.Loop() {
			sum += rdm.Checksum(wire)
		}
		_ = sum
	})
	b.Run("baseline encoding binary", func(b *testing.B) {
		b.ReportAllocs()
		packet := struct {
			Start, Sub, Length       uint8
			Destination, Source      [6]byte
			Transaction, Role, Count uint8
			SubDevice                uint16
			Class                    uint8
			PID                      uint16
			DataLength               uint8
			Data                     [19]byte
			Checksum                 uint16
		}{Start: 0xcc, Sub: 1, Length: 43}
		var buf bytes.Buffer
		for b.Loop() {
			buf.Reset()
			_ = binary.Write(&buf, binary.BigEndian, &packet)
		}
	})
}
