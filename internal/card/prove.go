package card

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"sync"

	"takeweave/internal/interchange"
)

// prove reads a copy again and gives what was written its name.
func (c *copier) prove(ctx context.Context, p proof) {
	f := p.file
	place := c.places[p.place]
	final := below(place.dir, f.path)
	path := final
	if p.new != nil {
		if path = p.new.part; !c.settled(f, p.new) {
			return
		}
	}
	got, cold, err := c.readAgain(ctx, path, f.path)
	if err == nil && !cold {
		place.fromMemory = true
	}
	switch {
	case err == nil && got[ours] == f.sums[ours] && c.isLong(path, f.size):
		if err = c.name(p, final); err == nil {
			f.proven[p.place] = true
			return
		}
		c.dropPart(p)
		c.problem(Problem{Path: f.path, Place: place.dir, What: "could not be given its name there: " + err.Error(), Hint: "look at that folder, and copy again"})
	case p.new != nil:
		c.dropPart(p)
		if ctx.Err() == nil {
			c.problem(Problem{Path: f.path, Place: place.dir, What: "was written there, but does not read back the same", Hint: "try another cable or drive, and copy again"})
		}
	case ctx.Err() != nil:
	case err != nil && !place.history.known[f.path].agrees(f.sums):
		c.problem(Problem{Path: f.path, Place: place.dir, What: "is there, but cannot be read: " + err.Error(), Hint: "do not trust that drive; copy to another"})
	default:
		c.differs(p, got)
	}
}

// isLong reports whether a file has a length: a reading that ended too early may
// hash like a shorter file.
func (c *copier) isLong(path string, size int64) bool {
	e, err := c.disk.Stat(path)
	return err == nil && e.size == size
}

func (c *copier) dropPart(p proof) {
	if p.new != nil {
		_ = c.disk.Remove(p.new.part)
	}
}

// readAgain hashes a file once more from its device.
func (c *copier) readAgain(ctx context.Context, path, name string) (sums, bool, error) {
	return hashFile(ctx, c.disk, path, []interchange.HashFormat{ours}, c.read(name))
}

// hashFile hashes a file from its device, as far as the system can.
func hashFile(ctx context.Context, d disk, path string, formats []interchange.HashFormat, read func(n int)) (s sums, cold bool, err error) {
	r, cold, err := d.Open(path)
	if err != nil {
		return nil, false, err
	}
	sum := newSumming(formats)
	held := hashBuffers.Get().(*[]byte)
	defer hashBuffers.Put(held)
	_, err = io.CopyBuffer(counting{ctx, sum, read}, r, *held)
	return sum.sums(), cold, errors.Join(err, r.Close())
}

// counting hashes what is written to it and counts it, until ctx ends.
type counting struct {
	ctx  context.Context
	hash io.Writer
	read func(n int)
}

func (c counting) Write(p []byte) (int, error) {
	c.read(len(p))
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.hash.Write(p)
}

// hashBytes are hashed at a time: they stay in the processor's own memory.
const hashBytes = 256 << 10

var hashBuffers = sync.Pool{New: func() any {
	b := make([]byte, hashBytes)
	return &b
}}

// name gives a proven part its name, in the folder it belongs into. A damaged
// file is set aside before, never deleted.
func (c *copier) name(p proof, final string) error {
	if p.new == nil {
		return nil
	}
	if err := c.disk.MakeDir(filepath.Dir(final)); err != nil {
		return err
	}
	if p.aside {
		if err := c.setAside(p, final); err != nil {
			return err
		}
	}
	err := c.disk.Rename(p.new.part, final)
	if errors.Is(err, fs.ErrExist) {
		return errors.New("another file has that name there")
	}
	return err
}

// setAside moves a damaged file out of the way, under its own path and a number.
func (c *copier) setAside(p proof, final string) error {
	for n := 1; ; n++ {
		aside := below(filepath.Join(c.places[p.place].dir, asideFolder, fmt.Sprint(n)), p.file.path)
		if err := c.disk.MakeDir(filepath.Dir(aside)); err != nil {
			return err
		}
		if err := c.disk.Rename(final, aside); !errors.Is(err, fs.ErrExist) {
			return err
		}
	}
}

// differs says what a file is that has the name of a card's file, but not its
// bytes. It is never overwritten.
func (c *copier) differs(p proof, got sums) {
	f, place := p.file, c.places[p.place]
	before, isKnown := place.history.known[f.path]
	problem := Problem{Path: f.path, Place: place.dir, Hint: "copy this card into a new folder"}
	switch {
	case isKnown && before.agrees(f.sums):
		c.mu.Lock()
		defer c.mu.Unlock()
		c.damaged = append(c.damaged, p)
		return
	case isKnown && before.agrees(got):
		problem.What = "was changed on the card since it was copied there; the earlier one is kept"
		if before.size >= 0 && before.size < f.size {
			problem.What = fmt.Sprintf("has grown on the card from %d to %d bytes since it was copied there; the earlier one is kept", before.size, f.size)
		}
	case isKnown:
		problem.What = "is neither there nor on the card what it was when it was copied"
	default:
		problem.What = "is there already, but is a different file; it was not overwritten"
	}
	c.problem(problem)
}

// repair copies a file again to a place whose copy is damaged.
func (c *copier) repair(ctx context.Context, p proof, prove func(proof)) {
	w := c.begin(p.file, p.place)
	if w == nil || !c.readCard(ctx, p.file, []*writing{w}) {
		if ctx.Err() == nil {
			c.problem(Problem{Path: p.file.path, Place: c.places[p.place].dir, What: "is damaged there and could not be put right", Hint: "copy to another drive"})
		}
		return
	}
	c.note("%q was damaged in %q and was copied again from the card; the damaged one is kept in %q", p.file.path, c.places[p.place].dir, asideFolder)
	prove(proof{p.file, p.place, w, true})
}
