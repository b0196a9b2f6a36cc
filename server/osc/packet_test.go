package osc_test

import (
	"encoding/hex"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/server/osc"
)

func bytesOf(t *testing.T, lines ...string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
	require.NoError(t, err)
	return b
}

// TestExamples: the two example messages of the specification ("OSC Message
// Examples", Open Sound Control 1.0, 26 March 2002), byte for byte.
func TestExamples(t *testing.T) {
	for _, row := range []struct {
		name string
		m    *osc.Message
		b    []byte
	}{
		{"/oscillator/4/frequency 440.0", &osc.Message{Address: "/oscillator/4/frequency", Args: []any{float32(440)}}, bytesOf(t,
			"2f6f7363 696c6c61 746f722f 342f6672 65717565 6e637900", // /oscillator/4/frequency
			"2c660000", // ,f
			"43dc0000", // 440
		)},
		{"/foo 1000 -1 hello 1.234 5.678", &osc.Message{Address: "/foo", Args: []any{int32(1000), int32(-1), "hello", float32(1.234), float32(5.678)}}, bytesOf(t,
			"2f666f6f 00000000", // /foo
			"2c696973 66660000", // ,iisff
			"000003e8 ffffffff", // 1000, -1
			"68656c6c 6f000000", // hello
			"3f9df3b6 40b5b22d", // 1.234, 5.678
		)},
	} {
		t.Run(row.name, func(t *testing.T) {
			b, err := row.m.Append([]byte{7})
			require.NoError(t, err)
			require.Equal(t, append([]byte{7}, row.b...), b)
			p, err := osc.Parse(row.b)
			require.NoError(t, err)
			require.Equal(t, row.m, p)
		})
	}
}

// all has an argument of every type.
var all = &osc.Message{Address: "/a", Args: []any{
	int32(-5), float32(0.5), "text", []byte{1, 2, 3, 4, 5}, int64(1) << 40, osc.TimeTag(0x83aa7e80_80000000), math.Pi, osc.Symbol("sym"),
	osc.Char('x'), osc.RGBA(0x11223344), osc.MIDI{1, 0x90, 60, 100}, true, false, osc.Nil{}, osc.Impulse{},
}}

func TestThereAndBack(t *testing.T) {
	for _, p := range []osc.Packet{
		all, &osc.Message{Address: "/x"}, &osc.Message{Address: "/abc", Args: []any{"", "abcd", []byte{}}},
		&osc.Bundle{Time: osc.Immediately, Elements: []osc.Packet{all, &osc.Bundle{Time: 5, Elements: []osc.Packet{&osc.Message{Address: "/y"}}}}},
		&osc.Bundle{Time: 9},
	} {
		b, err := p.Append(nil)
		require.NoError(t, err)
		require.Zero(t, len(b)%4)
		again, err := osc.Parse(b)
		require.NoError(t, err)
		require.Equal(t, p, again)
	}
}

func TestParseRefuses(t *testing.T) {
	deep := osc.Packet(&osc.Message{Address: "/x"})
	for range 9 {
		deep = &osc.Bundle{Elements: []osc.Packet{deep}}
	}
	nested, err := deep.Append(nil)
	require.NoError(t, err)
	for _, row := range []struct {
		name string
		b    []byte
		want error
	}{
		{"nothing", nil, osc.ErrShort},
		{"no multiple of four", []byte("/ab"), osc.ErrAlign},
		{"something else", []byte("Art-Net\x00"), osc.ErrStart},
		{"no end of the address", []byte("/abc"), osc.ErrShort},
		{"filled with something", []byte("/a\x00x,\x00\x00\x00"), osc.ErrPadding},
		{"a space in the address", []byte("/a b\x00\x00\x00\x00"), osc.ErrAddress},
		{"no comma", []byte("/a\x00\x00i\x00\x00\x00\x00\x00\x00\x00"), osc.ErrTags},
		{"an unknown tag", []byte("/a\x00\x00,q\x00\x00"), osc.ErrTag},
		{"a list", []byte("/a\x00\x00,[]\x00"), osc.ErrTag},
		{"no number", []byte("/a\x00\x00,i\x00\x00"), osc.ErrShort},
		{"half a long number", []byte("/a\x00\x00,h\x00\x00\x00\x00\x00\x00"), osc.ErrShort},
		{"a blob of 4 GB", []byte("/a\x00\x00,b\x00\x00\xff\xff\xff\xff"), osc.ErrShort},
		{"a blob not filled up", []byte("/a\x00\x00,b\x00\x00\x00\x00\x00\x01xx\x00\x00"), osc.ErrPadding},
		{"something left", []byte("/a\x00\x00,\x00\x00\x00more"), osc.ErrRest},
		{"a bundle without time", []byte("#bundle\x00\x00\x00\x00\x00"), osc.ErrShort},
		{"a bundle cut short", []byte("#bundle\x00\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x08/a\x00\x00"), osc.ErrShort},
		{"bundles in bundles", nested, osc.ErrDepth},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := osc.Parse(row.b)
			require.ErrorIs(t, err, row.want)
		})
	}
	for _, m := range []osc.Packet{
		&osc.Message{Address: "no slash"}, &osc.Message{Address: "/a", Args: []any{7}}, &osc.Message{Address: "/a", Args: []any{"a\x00b"}},
		&osc.Bundle{Elements: []osc.Packet{&osc.Message{}}},
	} {
		b, err := m.Append([]byte{1})
		require.ErrorIs(t, err, osc.ErrUnwritten)
		require.Equal(t, []byte{1}, b)
	}
}

// FuzzParse: what can be read is written and read again as the same.
func FuzzParse(f *testing.F) {
	for _, p := range []osc.Packet{all, &osc.Bundle{Time: 1, Elements: []osc.Packet{all, &osc.Bundle{}}}} {
		b, err := p.Append(nil)
		require.NoError(f, err)
		f.Add(b)
	}
	f.Add([]byte("/a\x00\x00"))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := osc.Parse(b)
		if err != nil {
			return
		}
		once, err := p.Append(nil)
		require.NoError(t, err)
		again, err := osc.Parse(once)
		require.NoError(t, err)
		twice, err := again.Append(nil)
		require.NoError(t, err)
		require.Equal(t, once, twice)
		require.GreaterOrEqual(t, len(once), len(b), "only type tags that were left out are added")
	})
}
