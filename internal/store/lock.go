package store

import (
	"os"
	"path/filepath"

	"takeweave/internal/film"
)

// Lock takes the film for one piece of work, so that two windows never write
// the same files at once. It does not wait. The returned func lets go; the
// system lets go by itself when the program ends in any way.
func (s *Store) Lock() (release func(), err error) {
	path := filepath.Join(s.Dir, "film.lock")
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o666)
	if err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Path: s.Dir, Msg: "cannot be written", Hint: "check that the folder is on a disk you may write to", Err: err}
	}
	if err := tryLock(f); err != nil {
		_ = f.Close()
		return nil, &film.Error{Code: film.CodeExists, Path: s.Dir, Msg: "is being worked on in another window", Hint: "wait until that one has ended, or end it with Ctrl-C"}
	}
	return func() { _ = f.Close() }, nil
}
