package playtest_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/play/playtest"
)

// output is an Output made of one function that keeps a copy of what it took.
type output struct {
	send func(addresses []uint16, slots [][]byte, first bool) error
	kept map[uint16][]byte
}

func (o *output) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	for i, a := range addresses {
		o.kept[a] = append(o.kept[a][:0], slots[i]...)
	}
	if o.send == nil {
		return nil
	}
	return o.send(addresses, slots, first)
}

func (o *output) Kept(address uint16) ([]byte, bool) {
	b, ok := o.kept[address]
	return b, ok
}

// failures collects what Check reports.
type failures []string

func (f *failures) Helper() {}
func (f *failures) Errorf(format string, args ...any) {
	*f = append(*f, fmt.Sprintf(format, args...))
}

func TestCheckAcceptsAGoodOutput(t *testing.T) {
	playtest.Check(t, func() play.Output { return &output{kept: map[uint16][]byte{}} })
	playtest.Check(t, func() play.Output { return discard{} })
}

type discard struct{}

func (discard) SendFrame([]uint16, [][]byte, bool) error { return nil }

var sink []byte

// TestCheckFindsFaults: each broken output is found, by the sentence it earns.
func TestCheckFindsFaults(t *testing.T) {
	for _, row := range []struct {
		name string
		open func() play.Output
		want string
	}{
		{"refuses no universes", func() play.Output {
			return broken(func(addresses []uint16, _ [][]byte, _ bool) error {
				if len(addresses) == 0 {
					return errors.New("nothing to send")
				}
				return nil
			})
		}, "a frame of universes of [] slots"},
		{"refuses short universes", func() play.Output {
			return broken(func(_ []uint16, slots [][]byte, _ bool) error {
				if len(slots) == 1 && len(slots[0]) < 512 {
					return errors.New("want 512")
				}
				return nil
			})
		}, "a frame of universes of [2] slots"},
		{"changes a byte", func() play.Output {
			return broken(func(_ []uint16, slots [][]byte, _ bool) error {
				if len(slots) == 3 {
					slots[1][1]++
				}
				return nil
			})
		}, "has changed universe 1"},
		{"changes an address", func() play.Output {
			return broken(func(addresses []uint16, _ [][]byte, _ bool) error {
				if len(addresses) == 3 {
					addresses[2] = 0
				}
				return nil
			})
		}, "has changed universe 2"},
		{"allocates", func() play.Output {
			return broken(func([]uint16, [][]byte, bool) error {
				sink = make([]byte, 100)
				return nil
			})
		}, "SendFrame allocates 1 times"},
		{"keeps the slices", func() play.Output { return &keepsSlices{} }, "has not copied the 512 bytes of 0x1 "},
	} {
		t.Run(row.name, func(t *testing.T) {
			var f failures
			playtest.Check(&f, row.open)
			require.Contains(t, strings.Join(f, "\n"), row.want)
		})
	}
}

func broken(send func([]uint16, [][]byte, bool) error) play.Output {
	return &output{send: send, kept: map[uint16][]byte{}}
}

type keepsSlices struct{ slots [][]byte }

func (k *keepsSlices) SendFrame(_ []uint16, slots [][]byte, _ bool) error {
	k.slots = slots
	return nil
}

func (k *keepsSlices) Kept(address uint16) ([]byte, bool) { return k.slots[address-5], true }
