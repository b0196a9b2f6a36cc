package peer

// Plain reports whether w has given up UDP_SEGMENT.
func (w *Writer) Plain() bool { return w.plain.Load() }
