package sacn

import (
	"encoding/binary"
	"fmt"
	"slices"
)

// MaxPageUniverses is the most universes of one discovery packet.
const MaxPageUniverses = 512

const (
	listAt      = 112 // flags and length of the universe discovery layer
	universesAt = 120
)

// Discovery is the E1.31 universe discovery packet: one page of the universes
// that a source transmits on, for data and for synchronization. It goes to
// DiscoveryUniverse. Sections 4.3, 6.4 and 8 of ANSI E1.31:
//
//	0   root layer               108  Reserved, 4 bytes
//	22  CID, 16 bytes            112  Flags and Length
//	38  Flags and Length         114  Vector 1
//	40  Vector 2                 118  Page
//	44  Source Name, 64 bytes    119  Last Page
//	                             120  universes, 2 bytes each, ascending
type Discovery struct {
	CID            CID
	SourceName     Name
	Page, LastPage uint8 // from 0
	// Universes are at most 512, ascending.
	Universes []Universe
}

// Kind is KindDiscovery.
func (*Discovery) Kind() Kind { return KindDiscovery }

// DiscoveryPages is the whole list of a source, in as many packets as it takes,
// one for an empty list. Universes may come in any order and more than once; it
// is not changed. Errors wrap ErrUniverse.
func DiscoveryPages(cid CID, name Name, universes []Universe) ([]Discovery, error) {
	all := slices.Clone(universes)
	slices.Sort(all)
	all = slices.Compact(all)
	for _, u := range all {
		if err := u.check(KindDiscovery); err != nil {
			return nil, err
		}
	}
	pages := []Discovery{{CID: cid, SourceName: name}}
	if len(all) > 0 {
		pages = pages[:0]
		for part := range slices.Chunk(all, MaxPageUniverses) {
			pages = append(pages, Discovery{CID: cid, SourceName: name, Page: uint8(len(pages)), Universes: part})
		}
	}
	for i := range pages {
		pages[i].LastPage = uint8(len(pages) - 1) // 63999 universes are 125 pages
	}
	return pages, nil
}

// String is one line for a log.
func (d *Discovery) String() string {
	return fmt.Sprintf("E1.31 %v of %q, page %d of 0..%d: %v", KindDiscovery, d.SourceName, d.Page, d.LastPage, d.Universes)
}

// AppendBinary appends 120 + 2 * len(Universes) bytes. Errors wrap ErrCount,
// ErrUniverse (also for universes that do not ascend) or ErrPage.
func (d *Discovery) AppendBinary(b []byte) ([]byte, error) {
	n := len(d.Universes)
	if n > MaxPageUniverses {
		return b, fmt.Errorf("sacn: %v: %w: got %d universes, need at most %d a page", KindDiscovery, ErrCount, n, MaxPageUniverses)
	}
	if err := checkPage(d.Page, d.LastPage); err != nil {
		return b, err
	}
	for i, u := range d.Universes {
		if err := u.check(KindDiscovery); err != nil {
			return b, err
		}
		if i > 0 && u <= d.Universes[i-1] {
			return b, fmt.Errorf("sacn: %v: %w: %d after %d, need them ascending", KindDiscovery, ErrUniverse, u, d.Universes[i-1])
		}
	}
	size := universesAt + 2*n
	b = appendLayers(b, size, rootExtended, &d.CID, framingDiscovery)
	b = append(b, d.SourceName[:]...)
	b = append(b, 0, 0, 0, 0)
	b = binary.BigEndian.AppendUint16(b, flagsAndLength(size-listAt))
	b = binary.BigEndian.AppendUint32(b, universeList)
	b = append(b, d.Page, d.LastPage)
	for _, u := range d.Universes {
		b = binary.BigEndian.AppendUint16(b, uint16(u))
	}
	return b, nil
}

// Parse decodes b into d, leaving nothing of what d held and keeping nothing of
// b; the room of d.Universes is used again. A list that does not ascend is put
// in order, and what is no universe is left out of it: the list is for people
// and for routing, and nothing acts on its order. Errors wrap ErrNotACN,
// ErrShort, ErrVector, ErrLength, ErrCount or ErrPage, and leave d as it was.
func (d *Discovery) Parse(b []byte) error {
	end, err := layers(b, KindDiscovery, universesAt)
	if err != nil {
		return err
	}
	if err := layer(b, KindDiscovery, listAt, end); err != nil {
		return err
	}
	if got := binary.BigEndian.Uint32(b[listAt+2:]); got != universeList {
		return fmt.Errorf("sacn: %v: %w: got list 0x%08x, need 0x%08x", KindDiscovery, ErrVector, got, universeList)
	}
	bytes := end - universesAt
	if bytes&1 == 1 || bytes > 2*MaxPageUniverses {
		return fmt.Errorf("sacn: %v: %w: got %d bytes of universes, need an even number up to %d", KindDiscovery, ErrCount, bytes, 2*MaxPageUniverses)
	}
	if err := checkPage(b[118], b[119]); err != nil {
		return err
	}
	universes := d.Universes[:0]
	for at := universesAt; at < end; at += 2 {
		if u := Universe(binary.BigEndian.Uint16(b[at:])); u.Valid() {
			universes = append(universes, u)
		}
	}
	slices.Sort(universes)
	*d = Discovery{
		CID: CID(b[cidAt:]), SourceName: nameFrom(b[bodyAt:108]), Page: b[118], LastPage: b[119],
		Universes: slices.Compact(universes),
	}
	return nil
}

func checkPage(page, last uint8) error {
	if page > last {
		return fmt.Errorf("sacn: %v: %w: got page %d of 0..%d", KindDiscovery, ErrPage, page, last)
	}
	return nil
}
