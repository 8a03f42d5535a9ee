package card

import (
	"context"
	"path/filepath"
	"strings"
	"time"

	"takeweave/internal/film"
)

// Plan says what is copied and where to.
type Plan struct {
	From string   // the card's folder
	To   []string // the folders that become its copies, made when missing

	// CannotRepeat is for what cannot be filmed again: three devices are wanted
	// instead of two.
	CannotRepeat bool
	// Repair puts a copy of the card's file in the place of one that is no longer
	// what its own hash list says. The damaged one is set aside, not deleted.
	Repair bool
	// ReadCardTwice reads the card again as well, as it does the copies.
	ReadCardTwice bool

	Logged  []Logged                                     // the passes of the log; nil when there is none
	IsClip  func(path string) bool                       // which files are clips; nil for all
	Play    func(ctx context.Context, file string) error // plays parts of a clip's copy; nil when nothing is to be played
	Earlier []Receipt                                    // of other copies, to know a card again

	Host, Version string           // told in the hash lists
	Now           func() time.Time // time.Now when nil

	disk disk // the system's when nil
}

// Logged is a pass of the log and the files it should have on the card, with
// forward slashes.
type Logged struct {
	Pass  string
	Files []string
}

// Progress is told how many of all bytes have been read, the card's and those of
// the copies together, and the file being worked on. Calls never
// overlap, but come from several goroutines.
type Progress func(doneBytes, totalBytes int64, file string)

// ready fills what the plan leaves open and refuses what cannot go well.
func (p Plan) ready() (Plan, error) {
	if p.Now == nil {
		p.Now = time.Now
	}
	if p.IsClip == nil {
		p.IsClip = func(string) bool { return true }
	}
	if p.disk == nil {
		p.disk = systemDisk{}
	}
	if len(p.To) == 0 {
		return p, &film.Error{Code: film.CodeUsage, Msg: "no place to copy to was named", Hint: "name two folders on two drives"}
	}
	dirs := append([]string{p.From}, p.To...)
	for i := range dirs {
		whole, err := resolved(dirs[i])
		if err != nil {
			return p, &film.Error{Code: film.CodeFailed, Path: dirs[i], Msg: "cannot be found", Hint: "name the folder with its whole path", Err: err}
		}
		dirs[i] = whole
		for _, other := range dirs[:i] {
			if within(whole, other) || within(other, whole) {
				return p, &film.Error{
					Code: film.CodeUsage, Path: dirs[i], Msg: "lies in " + other + " or around it",
					Hint: "name folders of which none holds another",
				}
			}
		}
	}
	p.From, p.To = dirs[0], dirs[1:]
	return p, nil
}

// resolved returns the whole path of a folder, through all links of the part of
// it that is there.
func resolved(dir string) (string, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	for there, rest := dir, ""; ; there, rest = filepath.Dir(there), filepath.Join(filepath.Base(there), rest) {
		if real, err := filepath.EvalSymlinks(there); err == nil {
			return filepath.Join(real, rest), nil
		}
		if there == filepath.Dir(there) {
			return dir, nil
		}
	}
}

// within reports whether a is the folder b or lies below it.
func within(a, b string) bool {
	return a == b || strings.HasPrefix(a, strings.TrimSuffix(b, string(filepath.Separator))+string(filepath.Separator))
}

// wanted is the number of devices a file must be proven on.
func (p *Plan) wanted() int {
	if p.CannotRepeat {
		return 3
	}
	return 2
}
