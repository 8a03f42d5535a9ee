package card

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"time"

	"takeweave/internal/film"
)

// Checked is what a folder was found to be, compared with its hash lists.
type Checked struct {
	Folder     string    `json:"folder"`
	Made       time.Time `json:"made"`
	Listed     time.Time `json:"listed"` // when its latest list was made
	Whole      int       `json:"whole"`  // files that are what a list says
	Bytes      int64     `json:"bytes"`  // of those
	Missing    []string  `json:"missing,omitempty"`
	Changed    []string  `json:"changed,omitempty"`
	New        []string  `json:"new,omitempty"`        // not in any list
	Unreadable []Problem `json:"unreadable,omitempty"` // files, folders and lists
	FromMemory bool      `json:"from_memory,omitempty"`
	Verdict    string    `json:"verdict"`
}

// Good reports whether everything that was listed is there and whole.
func (c *Checked) Good() bool {
	return c.Whole > 0 && len(c.Missing)+len(c.Changed)+len(c.Unreadable) == 0
}

// Verify reads a copy from its device and compares it with all hash lists in it,
// those of others too. It writes nothing. A folder without lists gives a
// *film.Error with film.CodeNotFound.
func Verify(ctx context.Context, dir string, progress Progress) (Checked, error) {
	if progress == nil {
		progress = func(int64, int64, string) {}
	}
	return verify(ctx, systemDisk{}, dir, time.Now(), progress)
}

func verify(ctx context.Context, d disk, dir string, now time.Time, progress Progress) (Checked, error) {
	out := Checked{Folder: dir, Made: now.UTC()}
	all, err := d.List(dir)
	if err != nil {
		return out, &film.Error{Code: film.CodeNotFound, Path: dir, Msg: "cannot be listed", Hint: "check that the drive is in and the folder is right", Err: err}
	}
	histories, wrong := historiesIn(d, dir, all)
	if len(histories)+len(wrong) == 0 {
		return out, &film.Error{Code: film.CodeNotFound, Path: dir, Msg: "holds no hash lists to compare with", Hint: "name a folder that was copied with proof"}
	}
	for _, w := range wrong {
		out.Unreadable = append(out.Unreadable, Problem{What: w})
	}
	for _, h := range histories {
		if h.last.After(out.Listed) {
			out.Listed = h.last
		}
	}
	said := together(histories)
	var total, done int64
	for _, e := range all {
		total += e.size
	}
	there := map[string]bool{}
	for _, e := range all {
		there[e.path] = e.kind != aFolder
		read := func(n int) {
			done += int64(n)
			progress(min(done, total), total, e.path)
		}
		out.check(ctx, d, e, said[e.path], read)
		if err := ctx.Err(); err != nil {
			return out, err
		}
	}
	for _, p := range slices.Sorted(maps.Keys(said)) {
		if !there[p] {
			out.Missing = append(out.Missing, p)
		}
	}
	out.judge()
	return out, nil
}

// check compares one entry of a folder with what is known of it.
func (c *Checked) check(ctx context.Context, d disk, e entry, said []known, read func(int)) {
	switch {
	case e.err != nil:
		c.Unreadable = append(c.Unreadable, Problem{Path: e.path, What: e.err.Error()})
		return
	case e.kind == aFolder || !inLists(e.path):
		return
	case len(said) == 0:
		c.New = append(c.New, e.path)
		return
	case e.kind != aFile:
		c.Changed = append(c.Changed, e.path)
		return
	}
	got, cold, err := hashFile(ctx, d, filepath.Join(c.Folder, filepath.FromSlash(e.path)), formatsOf(said), read)
	if err != nil {
		if ctx.Err() == nil {
			c.Unreadable = append(c.Unreadable, Problem{Path: e.path, What: err.Error()})
		}
		return
	}
	c.FromMemory = c.FromMemory || !cold
	if slices.ContainsFunc(said, func(k known) bool { return !k.agrees(got) }) {
		c.Changed = append(c.Changed, e.path)
		return
	}
	c.Whole++
	c.Bytes += e.size
}

func (c *Checked) judge() {
	switch {
	case c.Good():
		c.Verdict = fmt.Sprintf("All %s are what they were when they were listed.", count(c.Whole, "file", "files"))
	case c.Whole == 0 && len(c.Missing)+len(c.Changed)+len(c.Unreadable) == 0:
		c.Verdict = "Its hash lists name no file."
	default:
		c.Verdict = fmt.Sprintf("This copy is not whole: %d missing, %d changed, %d unreadable, %s as listed.",
			len(c.Missing), len(c.Changed), len(c.Unreadable), count(c.Whole, "file", "files"))
	}
	if c.FromMemory {
		c.Verdict += " The system could not be kept from reading from memory."
	}
}
