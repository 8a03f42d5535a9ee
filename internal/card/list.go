package card

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/interchange"
)

// computers keep these at the top of any volume they see; no camera makes them.
var leftAtTop = map[string]bool{
	".Spotlight-V100": true, ".fseventsd": true, ".Trashes": true, ".TemporaryItems": true,
	"System Volume Information": true, "$RECYCLE.BIN": true,
}

// leftOut reports whether something on a card is the computer's own.
func leftOut(p string) bool {
	top, _, _ := strings.Cut(p, "/")
	return leftAtTop[top] || path.Base(p) == ".DS_Store"
}

// ownFolder reports whether a path belongs to a copy's own folders.
func ownFolder(p string) bool {
	top, _, _ := strings.Cut(p, "/")
	return top == partFolder || top == asideFolder
}

// list lists the card, and reads the hash lists it carries.
func (c *copier) list() error {
	all, err := c.disk.List(c.plan.From)
	if err != nil {
		return &film.Error{Code: film.CodeNotFound, Path: c.plan.From, Msg: "cannot be listed", Hint: "check that the card is in and the folder is right", Err: err}
	}
	c.listed, c.byPath = all, map[string]*file{}
	var largest int64
	for _, e := range all {
		switch {
		case leftOut(e.path):
			c.receipt.LeftOut = append(c.receipt.LeftOut, e.path)
		case ownFolder(e.path):
			if e.kind != aFolder {
				c.problem(Problem{Path: e.path, What: "was left by another copy and is not copied", Hint: "finish that copy, or look at what it set aside"})
			}
		case e.err != nil:
			c.problem(Problem{Path: e.path, What: "cannot be looked into: " + e.err.Error(), Hint: "try another reader"})
		case e.kind == aFolder:
			c.folders = append(c.folders, e)
		case e.kind == another:
			c.problem(Problem{Path: e.path, What: "is neither a file nor a folder, and is not copied", Hint: "copy what it stands for by hand"})
		default:
			f := &file{entry: e, number: len(c.files)}
			c.files, c.byPath[e.path] = append(c.files, f), f
			largest = max(largest, e.size)
		}
	}
	c.buffers = newBuffers(largest)
	found, wrong := historiesIn(c.disk, c.plan.From, all)
	for _, w := range wrong {
		c.problem(Problem{What: "its own lists cannot be used: " + w, Hint: "keep the card, and ask whoever wrote the list"})
		c.plan.ReadCardTwice = true // for what the list would have found
	}
	c.own, c.said = found[""], together(found)
	return nil
}

// formats returns by which formats a file is hashed: ours and whatever the
// histories know it by.
func (c *copier) formats(f *file) []interchange.HashFormat {
	all := []interchange.HashFormat{ours}
	add := func(k known) {
		for format := range k.sums {
			if !slices.Contains(all, format) {
				all = append(all, format)
			}
		}
	}
	for _, k := range c.said[f.path] {
		add(k)
	}
	for _, p := range c.places {
		add(p.history.known[f.path])
	}
	return all
}

// sameAsListed reports whether the card is still as it was listed.
func sameAsListed(a, b []entry) bool {
	return slices.EqualFunc(a, b, func(a, b entry) bool {
		return a.path == b.path && a.kind == b.kind && (a.kind != aFile || a.size == b.size && a.modified.Equal(b.modified))
	})
}

// Listing returns the hash of a card's names, sizes and times, as receipts hold
// it: it tells at once which card this seems to be. What is on it only a copy
// tells.
func Listing(dir string) (string, error) {
	c := &copier{plan: Plan{From: dir}, disk: systemDisk{}, receipt: &Receipt{}}
	if err := c.list(); err != nil {
		return "", err
	}
	return listingOf(c.files), nil
}

func listingOf(files []*file) string {
	var text strings.Builder
	for _, f := range files {
		fmt.Fprintf(&text, "%q %d %d\n", f.path, f.size, f.modified.Unix())
	}
	return digest([]byte(text.String()))
}
