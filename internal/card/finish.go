package card

import (
	"context"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"time"

	"takeweave/internal/interchange"
)

// finish does what follows the copying: it makes the folders, tells what the
// card grew and lost, compares with the log, plays, looks at the card once more
// and adds the hash lists.
func (c *copier) finish(ctx context.Context) {
	for i, p := range c.places {
		if p.missed > 0 {
			c.problem(Problem{Place: p.dir, What: count(p.missed, "file was", "files were") + " not copied: no room is left", Hint: "copy to a drive with more room"})
		}
		c.makeFolders(i)
		c.checkDrive(i)
	}
	c.compare(ctx)
	c.compareOwn()
	c.matchLog()
	c.play(ctx)
	if again, err := c.disk.List(c.plan.From); err != nil || !sameAsListed(c.listed, again) {
		c.problem(Problem{What: "it changed or went away while it was copied", Hint: "copy it again: it goes on"})
	}
	for _, f := range c.files {
		if !interchange.CanList(f.path) {
			c.note("%q was copied like the others, but hash lists cannot hold its name", f.path)
		}
	}
	for i := range c.places {
		c.addList(i)
	}
}

// makeFolders makes the card's folders at a place, empty ones too, and gives
// them their times, the deepest first.
func (c *copier) makeFolders(place int) {
	dir := c.places[place].dir
	for _, e := range slices.Backward(c.folders) {
		if err := c.disk.MakeDir(below(dir, e.path)); err != nil {
			c.problem(Problem{Path: e.path, Place: dir, What: "could not be made there: " + err.Error(), Hint: "look at that folder"})
			continue
		}
		_ = c.disk.SetTime(below(dir, e.path), e.modified) // some file systems keep none for folders
	}
}

// checkDrive makes sure that a place, with all its folders, is on the drive that
// it was on in the beginning: it may have been unplugged, and a folder may be a
// link or another drive's.
func (c *copier) checkDrive(place int) {
	p := c.places[place]
	for _, folder := range append([]entry{{}}, c.folders...) {
		dir := below(p.dir, folder.path)
		there, err := c.disk.Stat(dir)
		if err == nil && there.kind == aFolder {
			if device, err := c.disk.Device(dir); err == nil && device == p.device {
				continue
			}
		}
		c.problem(Problem{Path: folder.path, Place: p.dir, What: "is not there, or not on the drive that the copies are on", Hint: "check that the drive is in, and copy again into folders that are no links"})
	}
}

// compareOwn tells which files the card's own lists name and it does not hold,
// or holds otherwise. Those are copied as they are.
func (c *copier) compareOwn() {
	for _, p := range slices.Sorted(maps.Keys(c.said)) {
		f := c.byPath[p]
		if f == nil {
			c.problem(Problem{Path: p, What: "is in the card's own hash list, but not on the card", Hint: "keep the card"})
		} else if k := c.contradicted(f, f.sums); k != nil && f.sums != nil {
			c.problem(Problem{Path: p, What: "is not what the card's own hash list of " + k.at.UTC().Format(time.DateOnly) + " says", Hint: "keep the card, and look at this file"})
		}
	}
}

// matchLog names logged passes without a file, which keep the card, and clips
// that no pass names, which do not.
func (c *copier) matchLog() {
	if c.plan.Logged == nil {
		return
	}
	logged := map[string]bool{}
	for _, l := range c.plan.Logged {
		if len(l.Files) == 0 {
			c.problem(Problem{What: fmt.Sprintf("%s logged, no file", l.Pass), Hint: "look on the other cards before this one is wiped"})
		}
		for _, name := range l.Files {
			if logged[name] = true; c.byPath[name] == nil {
				c.problem(Problem{Path: name, What: fmt.Sprintf("%s logged, no file", l.Pass), Hint: "look on the other cards before this one is wiped"})
			}
		}
	}
	for _, f := range c.files {
		if !logged[f.path] && inLists(f.path) && c.plan.IsClip(f.path) {
			c.receipt.Unlogged = append(c.receipt.Unlogged, f.path)
		}
	}
}

// play has a copy of every clip played, from the first place that has it.
func (c *copier) play(ctx context.Context) {
	if c.plan.Play == nil {
		return
	}
	for _, f := range c.files {
		at := slices.Index(f.proven, true)
		if at < 0 || !inLists(f.path) || !c.plan.IsClip(f.path) || ctx.Err() != nil {
			continue
		}
		if err := c.plan.Play(ctx, below(c.places[at].dir, f.path)); err != nil && ctx.Err() == nil {
			c.problem(Problem{Path: f.path, What: "was copied, but does not play: " + err.Error(), Hint: "keep the card until someone has looked at this clip"})
		}
	}
}

// inLists reports whether a file is of those that hash lists name.
func inLists(p string) bool {
	return !leftOut(p) && !ownFolder(p) && !slices.Contains(strings.Split(p, "/"), interchange.HistoryFolder)
}

// ignored are the patterns that our lists tell as not covered.
var ignored = []string{".DS_Store", interchange.HistoryFolder, interchange.HistoryFolder + "/", "/" + partFolder + "/", "/" + asideFolder + "/"}

// addList adds a generation to a place's history: every file that was proven
// there. Nothing is added to a history that does not hold.
func (c *copier) addList(place int) {
	p := c.places[place]
	if chain := c.byPath[chainPath]; chain != nil && !chain.proven[place] {
		return // the card's own history did not arrive, which was told
	}
	fail := func(err error) {
		c.problem(Problem{Place: p.dir, What: "no hash list could be added: " + err.Error(), Hint: "check the drive, and copy again: it goes on"})
	}
	h, err := loadHistory(c.disk, p.dir)
	if err != nil {
		fail(err)
		return
	}
	for _, w := range h.wrong {
		c.problem(Problem{Place: p.dir, What: w, Hint: "copy into a new folder"})
	}
	list, whole := c.listOf(place)
	if len(list.Files) == 0 || len(h.wrong) > 0 {
		return
	}
	if whole {
		root, folders, err := interchange.HashFolders(list.Files, ours, digest)
		if err != nil {
			fail(err)
			return
		}
		list.Root, list.Folders = &root, folders
	}
	if c.receipt.Places[place].List, err = h.append(c.disk, list); err != nil {
		fail(err)
	}
}

// listOf returns the list of what is proven at a place. It is whole when that is
// all there should be, so that folders may be hashed as well.
func (c *copier) listOf(place int) (list *interchange.HashList, whole bool) {
	now, p := c.plan.Now(), c.places[place]
	list = &interchange.HashList{
		Made: now, Host: c.plan.Host, Tool: "takeweave", ToolVersion: c.plan.Version,
		Process: interchange.Transfer, Ignore: ignored,
	}
	whole = len(c.receipt.Lost) == 0
	holds := map[string]bool{}
	for _, f := range c.files {
		if !inLists(f.path) {
			continue
		}
		before, isKnown := p.history.known[f.path]
		if !f.proven[place] || !interchange.CanList(f.path) || isKnown && !before.agrees(f.sums) || c.contradicted(f, f.sums) != nil {
			whole = false
			continue
		}
		for dir := path.Dir(f.path); dir != "."; dir = path.Dir(dir) {
			holds[dir] = true
		}
		list.Files = append(list.Files, hashed(f, isKnown || len(c.said[f.path]) > 0, now))
	}
	for _, e := range c.folders {
		if inLists(e.path) && !holds[e.path] {
			whole = false // lists have no hash for an empty folder
		}
	}
	return list, whole
}

// hashed returns a file with all its hashes, as a list holds it.
func hashed(f *file, known bool, now time.Time) interchange.HashedFile {
	action := interchange.HashOriginal
	if known {
		action = interchange.HashVerified
	}
	h := interchange.HashedFile{Path: f.path, Size: f.size, Modified: f.modified}
	for _, format := range interchange.HashFormats {
		if digits, ok := f.sums[format]; ok {
			h.Hashes = append(h.Hashes, interchange.HashValue{Format: format, Digits: digits, Action: action, At: now})
		}
	}
	return h
}
