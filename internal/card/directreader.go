package card

import (
	"io"
	"os"
	"sync"
	"unsafe"
)

// sector is a multiple of every drive's own sector: unbuffered reading wants
// memory, places and lengths that are.
const sector = 4096

// readsAhead is how many buffers of a file are being read at once. The system
// does not read ahead of unbuffered reading, and a drive that is asked for one
// thing at a time stands idle in between: the drive that set this gave 1.35 GB/s
// with one, 1.5 with two, and no more with up to five.
const readsAhead = 2

// directReader reads a file that was opened without buffering, as long as it was
// when it was opened.
type directReader struct {
	f     *os.File
	size  int64
	next  int64        // where the next reading ahead begins
	ahead []*aheadRead // in order
	now   *aheadRead   // the one being given out, nil before the first
	have  []byte       // what was not given out of it yet
}

// aheadRead is a buffer being read.
type aheadRead struct {
	buf  *[]byte
	n    int
	err  error // valid when done
	done chan struct{}
}

// alignedBuffers begin at a multiple of the sector.
var alignedBuffers = sync.Pool{New: func() any {
	raw := make([]byte, bufferBytes+sector)
	skip := (sector - int(uintptr(unsafe.Pointer(&raw[0]))%sector)) % sector
	buf := raw[skip : skip+bufferBytes]
	return &buf
}}

func newDirectReader(f *os.File) (*directReader, error) {
	info, err := f.Stat()
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	r := &directReader{f: f, size: info.Size()}
	r.lookAhead()
	return r, nil
}

func (r *directReader) lookAhead() {
	for len(r.ahead) < readsAhead && r.next < r.size {
		a := &aheadRead{buf: alignedBuffers.Get().(*[]byte), n: int(min(r.size-r.next, bufferBytes)), done: make(chan struct{})}
		go a.read(r.f, r.next)
		r.ahead = append(r.ahead, a)
		r.next += int64(a.n)
	}
}

// read reads n bytes, and up to a whole sector of them: the file may have less.
func (a *aheadRead) read(f *os.File, at int64) {
	defer close(a.done)
	n, err := f.ReadAt((*a.buf)[:(a.n+sector-1)/sector*sector], at)
	if n >= a.n {
		return
	}
	if a.err = err; err == io.EOF {
		a.err = io.ErrUnexpectedEOF
	}
}

func (r *directReader) Read(p []byte) (int, error) {
	if err := r.fill(); err != nil {
		return 0, err
	}
	n := copy(p, r.have)
	r.have = r.have[n:]
	return n, nil
}

// WriteTo saves io.Copy a buffer in between.
func (r *directReader) WriteTo(w io.Writer) (total int64, err error) {
	for {
		if err := r.fill(); err == io.EOF {
			return total, nil
		} else if err != nil {
			return total, err
		}
		n, err := w.Write(r.have)
		total += int64(n)
		if r.have = r.have[n:]; err != nil {
			return total, err
		}
	}
}

// fill waits for the next buffer when the one before has been given out.
func (r *directReader) fill() error {
	if len(r.have) > 0 {
		return nil
	}
	r.drop()
	if len(r.ahead) == 0 {
		return io.EOF
	}
	r.now, r.ahead = r.ahead[0], r.ahead[1:]
	<-r.now.done
	if r.now.err != nil {
		return r.now.err
	}
	r.have = (*r.now.buf)[:r.now.n]
	r.lookAhead()
	return nil
}

// drop gives back the buffer that was given out.
func (r *directReader) drop() {
	if r.now != nil {
		alignedBuffers.Put(r.now.buf)
		r.now = nil
	}
}

func (r *directReader) Close() error {
	r.drop()
	for _, a := range r.ahead {
		<-a.done
		alignedBuffers.Put(a.buf)
	}
	r.ahead, r.have = nil, nil
	return r.f.Close()
}
