package card

import (
	"errors"
	"io"
	"os"
	"sync"
	"unsafe"
)

// sector is a multiple of every drive's own sector: unbuffered reading wants
// memory, places and lengths that are.
const sector = 4096

// directReader reads a file that was opened without buffering.
type directReader struct {
	f    *os.File
	buf  *[]byte // aligned to sectors
	have []byte  // the part of buf that was not given out yet
	at   int64   // where the next reading begins
	end  bool
}

var alignedBuffers = sync.Pool{New: func() any {
	raw := make([]byte, bufferBytes+sector)
	skip := (sector - int(uintptr(unsafe.Pointer(&raw[0]))%sector)) % sector
	buf := raw[skip : skip+bufferBytes]
	return &buf
}}

func newDirectReader(f *os.File) *directReader {
	return &directReader{f: f, buf: alignedBuffers.Get().(*[]byte)}
}

func (r *directReader) Read(p []byte) (int, error) {
	for len(r.have) == 0 {
		if r.end {
			return 0, io.EOF
		}
		if err := r.fill(); err != nil {
			return 0, err
		}
	}
	n := copy(p, r.have)
	r.have = r.have[n:]
	return n, nil
}

// fill reads the next sectors. A reading that stops between sectors is the end
// of the file or a fault: the file's size tells which.
func (r *directReader) fill() error {
	n, err := r.f.Read(*r.buf)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	r.have = (*r.buf)[:n]
	r.at += int64(n)
	if n == len(*r.buf) {
		return nil
	}
	info, err := r.f.Stat()
	if err != nil {
		return err
	}
	r.end = r.at >= info.Size()
	if !r.end && n%sector != 0 || !r.end && n == 0 {
		return io.ErrUnexpectedEOF
	}
	return nil
}

func (r *directReader) Close() error {
	alignedBuffers.Put(r.buf)
	r.buf, r.have = nil, nil
	return r.f.Close()
}
