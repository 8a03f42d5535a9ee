package card

import (
	"context"
	"errors"
	"io"
	"sync/atomic"
)

// A file goes through the computer in buffers: while one is read and hashed, the
// places write those before it, each at its own pace.
const (
	bufferBytes = 4 << 20
	bufferCount = 6
)

// chunk is a buffer on its way. It is free again when all places have written it.
type chunk struct {
	b     []byte
	n     int
	users atomic.Int32
}

// writing is a file being written at one place.
type writing struct {
	place int
	part  string
	sink  sink
	in    chan *chunk
	done  chan struct{}
	err   error // valid when done
}

// buffers hands out chunks; there are never more than bufferCount.
type buffers struct {
	free chan *chunk
	made int
	size int
}

func newBuffers(largest int64) *buffers {
	return &buffers{free: make(chan *chunk, bufferCount), size: int(max(1, min(largest+1, bufferBytes)))}
}

func (p *buffers) take() *chunk {
	if p.made < bufferCount && len(p.free) == 0 {
		p.made++
		return &chunk{b: make([]byte, p.size)}
	}
	return <-p.free
}

func (p *buffers) release(c *chunk) {
	if c.users.Add(-1) <= 0 {
		p.free <- c
	}
}

// start begins to write to a sink what is sent in, until that is closed.
func (w *writing) start(p *buffers) {
	w.in, w.done = make(chan *chunk, bufferCount), make(chan struct{})
	go func() {
		defer close(w.done)
		for c := range w.in {
			if w.err == nil {
				var n int
				if n, w.err = w.sink.Write(c.b[:c.n]); w.err == nil && n < c.n {
					w.err = io.ErrShortWrite
				}
			}
			p.release(c)
		}
	}()
}

// settle puts what was written on the device; it returns any fault since the
// beginning.
func (w *writing) settle() error {
	err := w.err
	if err == nil {
		err = w.sink.Sync()
	}
	return errors.Join(err, w.sink.Close())
}

// pump reads all of r, hashing, and sends it to all writings, whose ends it
// waits for. It returns how much was read; writing errors are in the writings.
func pump(ctx context.Context, r io.Reader, hash io.Writer, to []*writing, p *buffers, read func(n int)) (int64, error) {
	for _, w := range to {
		w.start(p)
	}
	var total int64
	var err error
	for err == nil {
		if err = ctx.Err(); err != nil {
			break
		}
		c := p.take()
		c.n, err = fill(r, c.b)
		_, _ = hash.Write(c.b[:c.n]) // never fails
		total += int64(c.n)
		read(c.n)
		c.users.Store(int32(len(to)))
		for _, w := range to {
			w.in <- c
		}
		if len(to) == 0 {
			p.release(c)
		}
	}
	for _, w := range to {
		close(w.in)
	}
	for _, w := range to {
		<-w.done
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return total, err
}

// fill reads until b is full, or as much as there is.
func fill(r io.Reader, b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		var k int
		k, err = r.Read(b[n:])
		n += k
	}
	return n, err
}
