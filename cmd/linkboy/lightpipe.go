package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"

	"linkboy/colour/transport"
)

// The pipe between the daemon and the process that computes light, both ways
// little-endian: to it a uint32 and so many bytes of an encoded task; from it, for each
// stage, a byte that counts the stages from 0, a uint32 and so many bytes of an encoded
// map. The pipe to it stays open: its end means that the daemon has gone.

// pipeMost is the most bytes of a task or a map: a gigabyte, as transport allows.
const pipeMost = 1 << 30

var pipeStages = []transport.Stage{transport.Coarse, transport.Direct, transport.Bounced}

// errPipe is what no such process writes.
var errPipe = errors.New("the pipe carries something else than light")

func writeChunk(w io.Writer, b []byte) error {
	if len(b) > pipeMost {
		return fmt.Errorf("%w: %d bytes are too many", errPipe, len(b))
	}
	if _, err := w.Write(binary.LittleEndian.AppendUint32(nil, uint32(len(b)))); err != nil {
		return err
	}
	_, err := w.Write(b)
	return err
}

func readChunk(r io.Reader) ([]byte, error) {
	var head [4]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return nil, cut(err)
	}
	n := binary.LittleEndian.Uint32(head[:])
	if n > pipeMost {
		return nil, fmt.Errorf("%w: %d bytes are too many", errPipe, n)
	}
	b, err := io.ReadAll(io.LimitReader(r, int64(n))) // grows with what comes, whatever n says
	if err == nil && len(b) < int(n) {
		err = io.ErrUnexpectedEOF
	}
	return b, cut(err)
}

// cut is an end in the middle of something.
func cut(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("%w: it ends too early", errPipe)
	}
	return err
}

func writeStage(w io.Writer, at transport.Stage, encoded []byte) error {
	k := slices.Index(pipeStages, at)
	if k < 0 {
		return fmt.Errorf("%w: a stage %q", errPipe, at)
	}
	if _, err := w.Write([]byte{byte(k)}); err != nil {
		return err
	}
	return writeChunk(w, encoded)
}

// readStage gives the next stage; io.EOF where the pipe ends between two.
func readStage(r io.Reader) (transport.Stage, []byte, error) {
	var kind [1]byte
	if _, err := io.ReadFull(r, kind[:]); err != nil {
		return "", nil, err
	}
	if int(kind[0]) >= len(pipeStages) {
		return "", nil, fmt.Errorf("%w: a stage %d", errPipe, kind[0])
	}
	b, err := readChunk(r)
	return pipeStages[kind[0]], b, err
}
