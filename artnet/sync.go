package artnet

// Sync is ArtSync: nodes that buffer ArtDmx output it now, all together. It is
// sent by directed broadcast after the last ArtDmx of a frame. Art-Net 4,
// section "ArtSync": 12 Aux1 and 13 Aux2, both 0.
type Sync struct{}

// OpCode is OpSync.
func (*Sync) OpCode() OpCode { return OpSync }

// AppendBinary appends 14 bytes. The error is always nil.
func (*Sync) AppendBinary(b []byte) ([]byte, error) {
	return append(appendHeader(b, OpSync), 0, 0), nil // Aux1, Aux2
}

// Parse checks b. 12 bytes are enough, since Aux1 and Aux2 have no meaning.
// Errors wrap ErrNotArtNet, ErrOpCode, ErrShort or ErrVersion.
func (*Sync) Parse(b []byte) error { return header(b, OpSync, versionedAt) }
