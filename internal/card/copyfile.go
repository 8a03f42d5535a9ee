package card

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"sync"
	"syscall"
)

// proof is a copy to be read again: what was written under another name, or what
// was there before.
type proof struct {
	file  *file
	place int
	new   *writing // nil for what was there before
	aside bool     // a damaged file stands in its place
}

// copyAll copies the files one after the other. Behind it the copies are proven,
// each device by itself, so that a copy that is interrupted has lost little.
func (c *copier) copyAll(ctx context.Context) {
	c.withProvers(ctx, func(prove func(proof)) {
		for _, f := range c.files {
			if ctx.Err() == nil {
				c.copyFile(ctx, f, prove)
			}
		}
	})
	damaged := c.damaged
	if c.damaged = nil; !c.plan.Repair {
		for _, p := range damaged {
			c.problem(Problem{
				Path: p.file.path, Place: c.places[p.place].dir,
				What: "is damaged there: it is no longer what its hash list says, the card's file is",
				Hint: "copy again with repair, and do not trust that drive",
			})
		}
		return
	}
	c.withProvers(ctx, func(prove func(proof)) {
		for _, p := range damaged {
			c.repair(ctx, p, prove)
		}
	})
}

// withProvers runs work, which hands out proofs, and returns when all of them
// are done. Proofs of the same device come one after the other.
func (c *copier) withProvers(ctx context.Context, work func(prove func(proof))) {
	var all sync.WaitGroup
	queues := map[string]chan proof{}
	work(func(p proof) {
		device := c.places[p.place].device
		if queues[device] == nil {
			queue := make(chan proof, 4)
			queues[device] = queue
			all.Go(func() {
				for p := range queue {
					c.prove(ctx, p)
				}
			})
		}
		queues[device] <- p
	})
	for _, q := range queues {
		close(q)
	}
	all.Wait()
}

// copyFile reads a file of the card, writes it where it is missing and asks for
// the proof of every copy.
func (c *copier) copyFile(ctx context.Context, f *file, prove func(proof)) {
	var to []*writing
	var there []int
	for i := range c.places {
		switch has, err := c.isThere(f, i); {
		case err != nil:
			c.problem(Problem{Path: f.path, Place: c.places[i].dir, What: err.Error(), Hint: "look at that folder"})
		case has:
			there = append(there, i)
		case c.isFull(i):
		default:
			if w := c.begin(f, i); w != nil {
				to = append(to, w)
			}
		}
	}
	if !c.readCard(ctx, f, to) {
		return
	}
	for _, w := range to {
		prove(proof{f, w.place, w, false})
	}
	for _, i := range there {
		if !c.continued(f, i) {
			prove(proof{f, i, nil, false})
		}
	}
}

// isThere reports whether a place has a file of that name. Anything else in its
// way is an error.
func (c *copier) isThere(f *file, place int) (bool, error) {
	there, err := c.disk.Stat(below(c.places[place].dir, f.path))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("cannot be looked at there: %w", err)
	case there.kind != aFile:
		return false, errors.New("cannot be copied: something that is no file has its name there")
	}
	return true, nil
}

// begin opens a part of a place for writing, nil when that cannot be.
func (c *copier) begin(f *file, place int) *writing {
	p := c.places[place]
	w := &writing{place: place, part: filepath.Join(p.dir, partFolder, fmt.Sprintf("%d.part", f.number))}
	var err error
	if w.sink, err = c.disk.Create(w.part); err != nil {
		if w.sink != nil {
			_ = w.sink.Close()
		}
		c.notWritten(f, place, err)
		return nil
	}
	return w
}

// readCard reads a file of the card into the writings and sets its sums. When
// what was read is in any doubt it is false, and nothing is left of the parts.
func (c *copier) readCard(ctx context.Context, f *file, to []*writing) bool {
	got, err := c.readOnce(ctx, f, to)
	// No list tells what the card's own lists should hold.
	if err == nil && (c.plan.ReadCardTwice || !inLists(f.path) || c.contradicted(f, got) != nil) {
		var again sums
		if again, _, err = c.readAgain(ctx, below(c.plan.From, f.path), f.path); err == nil && again[ours] != got[ours] {
			err = errDiffers
		}
	}
	if err == nil && f.sums != nil && f.sums[ours] != got[ours] {
		err = errDiffers
	}
	if err != nil {
		for _, w := range to {
			_ = w.sink.Close()
			_ = c.disk.Remove(w.part)
		}
		if ctx.Err() == nil {
			c.problem(Problem{Path: f.path, What: err.Error(), Hint: "keep the card, and try another reader and cable"})
		}
		return false
	}
	if f.sums == nil {
		f.sums = got
	}
	return true
}

var errDiffers = errors.New("reads differently each time")

// contradicted returns which list of the card's own tells otherwise of a file,
// nil when none does.
func (c *copier) contradicted(f *file, got sums) *known {
	for _, k := range c.said[f.path] {
		if !k.agrees(got) {
			return &k
		}
	}
	return nil
}

func (c *copier) readOnce(ctx context.Context, f *file, to []*writing) (sums, error) {
	path := below(c.plan.From, f.path)
	r, _, err := c.disk.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	sum := newSumming(c.formats(f))
	n, err := pump(ctx, r, sum, to, c.buffers, c.read(f.path))
	if err = errors.Join(err, r.Close()); err != nil {
		return nil, fmt.Errorf("cannot be read to its end: %w", err)
	}
	after, err := c.disk.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("was gone after it was read: %w", err)
	}
	if n != f.size || after.size != f.size || !after.modified.Equal(f.modified) {
		return nil, fmt.Errorf("changed while it was read: %d bytes were listed, %d read", f.size, n)
	}
	return sum.sums(), nil
}

// settled puts a part on its device, with its time, and takes away one that did
// not get there.
func (c *copier) settled(f *file, w *writing) bool {
	err := w.settle()
	if err == nil {
		err = c.disk.SetTime(w.part, f.modified)
	}
	if err != nil {
		_ = c.disk.Remove(w.part)
		c.notWritten(f, w.place, err)
		return false
	}
	return true
}

func (c *copier) notWritten(f *file, place int, err error) {
	p := c.places[place]
	if !errors.Is(err, syscall.ENOSPC) {
		c.problem(Problem{Path: f.path, Place: p.dir, What: "could not be written there: " + err.Error(), Hint: "check the drive, and copy again: it goes on"})
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	p.full = true
	p.missed++
}

// isFull reports whether a place takes no more, and counts the file that it
// would not take.
func (c *copier) isFull(place int) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if p := c.places[place]; p.full {
		p.missed++
	}
	return c.places[place].full
}

// continued deals with the chain of a card that carries a history, where a
// place's own chain goes on from it: then the place's is not the card's file,
// but holds all that it says.
func (c *copier) continued(f *file, place int) bool {
	if f.path != chainPath || c.own == nil || !c.places[place].history.beginsWith(c.own) {
		return false
	}
	f.proven[place] = true
	return true
}
