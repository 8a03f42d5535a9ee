package card

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"takeweave/internal/film"
)

// Folders of our own at the top of a place.
const (
	partFolder  = "takeweave.part"      // what is being written; gone when a copy has ended
	asideFolder = "takeweave.set-aside" // damaged files whose place a repair took
)

// copier is one copy under way.
type copier struct {
	plan     Plan
	disk     disk
	places   []*place
	folders  []entry // of the card
	files    []*file // of the card
	byPath   map[string]*file
	listed   []entry            // the card as it was listed first
	own      *history           // the card's own hash lists at its top, nil when it has none
	said     map[string][]known // what all its own hash lists say
	buffers  *buffers
	receipt  *Receipt
	progress Progress

	mu          sync.Mutex // guards what follows, and the receipt's problems and notes
	done, total int64
	damaged     []proof // copies that a repair may put right
}

// place is one of the folders copied to.
type place struct {
	dir        string
	device     string
	history    *history
	full       bool // its device takes no more
	missed     int  // files that were not written because it is full
	fromMemory bool
}

// file is a file of the card.
type file struct {
	entry
	number int
	sums   sums // nil until it was read without fault
	proven []bool
}

// Copy copies a card as planned and proves the copies. The receipt is right
// whatever the error is: an error means that the copy could not begin or was
// cancelled, and then nothing may be wiped. Everything else that goes wrong is a
// problem in the receipt, and the rest goes on.
func Copy(ctx context.Context, plan Plan, progress Progress) (Receipt, error) {
	if progress == nil {
		progress = func(int64, int64, string) {}
	}
	plan, err := plan.ready()
	if err != nil {
		return Receipt{}, err
	}
	c := &copier{plan: plan, disk: plan.disk, progress: progress, receipt: &Receipt{Made: plan.Now().UTC(), Card: plan.From}}
	c.receipt.judge(plan.wanted())
	if err := c.list(); err != nil {
		return *c.receipt, err
	}
	release, err := c.open()
	defer release()
	if err != nil {
		return *c.receipt, err
	}
	c.copyAll(ctx)
	if ctx.Err() == nil {
		c.finish(ctx)
	}
	c.fillReceipt()
	if err := ctx.Err(); err != nil {
		c.problem(Problem{What: "the copy was interrupted", Hint: "start it again: it goes on"})
		c.receipt.judge(plan.wanted())
		return *c.receipt, err
	}
	c.receipt.judge(plan.wanted())
	return *c.receipt, nil
}

// open makes and locks the places and reads what they know.
func (c *copier) open() (release func(), err error) {
	var locks []func()
	release = func() {
		for _, unlock := range locks {
			unlock()
		}
		for _, p := range c.places {
			_ = c.disk.Remove(filepath.Join(p.dir, partFolder)) // stays when it holds anything
		}
	}
	card, err := c.disk.Device(c.plan.From)
	if err != nil {
		return release, cannot(c.plan.From, "is on no device that can be told", err)
	}
	for _, dir := range c.plan.To {
		p := &place{dir: dir}
		if err := c.disk.MakeDir(filepath.Join(dir, partFolder)); err != nil {
			return release, cannot(dir, "cannot be written", err)
		}
		unlock, err := c.disk.Lock(filepath.Join(dir, partFolder))
		if err != nil {
			return release, err
		}
		locks = append(locks, unlock)
		c.removeParts(dir)
		if p.device, err = c.disk.Device(dir); err != nil {
			return release, cannot(dir, "is on no device that can be told", err)
		}
		c.readHistory(p)
		c.places = append(c.places, p)
		c.receipt.Places = append(c.receipt.Places, Place{Folder: dir, Device: p.device, OnCard: p.device == card})
	}
	for _, f := range c.files {
		f.proven = make([]bool, len(c.places))
		c.total += f.size * int64(1+len(c.places))
	}
	return release, c.enoughRoom()
}

// enoughRoom refuses a copy that cannot end for want of room, before it begins.
func (c *copier) enoughRoom() error {
	missing := map[string]int64{} // bytes by device
	for i, p := range c.places {
		for _, f := range c.files {
			if there, err := c.isThere(f, i); err == nil && !there {
				missing[p.device] += f.size
			}
		}
		room, err := c.disk.Room(p.dir)
		if err != nil {
			return cannot(p.dir, "does not tell how much room it has", err)
		}
		if need := missing[p.device]; room < need {
			return &film.Error{
				Code: film.CodeNoSpace, Path: p.dir,
				Msg:  fmt.Sprintf("has room for %s, but %s are still to be copied to its drive", sizeInWords(room), sizeInWords(need)),
				Hint: "make room there, or name a folder on another drive",
			}
		}
	}
	return nil
}

func cannot(path, what string, err error) error {
	var told *film.Error
	if errors.As(err, &told) {
		return err
	}
	return &film.Error{Code: film.CodeFailed, Path: path, Msg: what, Hint: "check the drive and its cable", Err: err}
}

// ownPart matches the names of what is being written.
var ownPart = regexp.MustCompile(`^(\d+|list)\.part$`)

// removeParts deletes what an interrupted copy left half-written.
func (c *copier) removeParts(dir string) {
	all, err := c.disk.List(filepath.Join(dir, partFolder))
	if err != nil {
		return
	}
	for _, e := range all {
		if e.kind == aFile && ownPart.MatchString(e.path) {
			_ = c.disk.Remove(below(filepath.Join(dir, partFolder), e.path)) // is emptied before it is written
		}
	}
}

// readHistory reads a place's hash lists, as far as they can be: what is wrong
// with them is told in the end, because the card's own may not have come whole.
func (c *copier) readHistory(p *place) {
	var err error
	if p.history, err = loadHistory(c.disk, p.dir); err != nil {
		p.history = &history{dir: p.dir, known: map[string]known{}}
	}
	switch {
	case c.byPath[chainPath] == nil:
	case c.own == nil: // which lists are the card's own cannot be told
		p.history.known = map[string]known{}
	case p.history.beginsWith(c.own):
		p.history = p.history.since(c.disk, c.own)
	}
}

func (c *copier) problem(p Problem) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.receipt.Problems = append(c.receipt.Problems, p)
}

func (c *copier) note(format string, args ...any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.receipt.Notes = append(c.receipt.Notes, fmt.Sprintf(format, args...))
}

// read counts bytes for the progress.
func (c *copier) read(name string) func(n int) {
	return func(n int) {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.done += int64(n)
		c.progress(min(c.done, c.total), c.total, name)
	}
}

// fillReceipt sets what was found out of the files.
func (c *copier) fillReceipt() {
	r := c.receipt
	var content strings.Builder
	whole := len(c.files) > 0
	for _, f := range c.files {
		r.Bytes += f.size
		r.Files = append(r.Files, File{f.path, f.size, f.modified.UTC(), f.sums[ours], f.proven})
		fmt.Fprintf(&content, "%q %s\n", f.path, f.sums[ours])
		whole = whole && f.sums != nil
		for i, proven := range f.proven {
			if proven {
				r.Places[i].Proven++
				r.Places[i].ProvenBytes += f.size
			}
		}
	}
	r.Listing = listingOf(c.files)
	if whole {
		r.Content = digest([]byte(content.String()))
	}
	for i, p := range c.places {
		r.Places[i].FromMemory = p.fromMemory
	}
	slices.SortStableFunc(r.Problems, func(a, b Problem) int { return strings.Compare(a.Path, b.Path) })
	for _, e := range c.plan.Earlier {
		if e.Content != "" && e.Content == r.Content {
			r.SameCard = fmt.Sprintf("the same files as the card %q that was copied on %s", e.Card, e.Made.UTC().Format(time.DateTime+" MST"))
		}
	}
}
