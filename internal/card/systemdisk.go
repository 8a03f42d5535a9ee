package card

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"takeweave/internal/film"
)

// systemDisk is the computer's own file system.
type systemDisk struct{}

func (systemDisk) List(dir string) ([]entry, error) {
	if _, err := os.ReadDir(dir); err != nil {
		return nil, err
	}
	var all []entry
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if path == dir {
			return err
		}
		rel, relErr := filepath.Rel(dir, path)
		if relErr != nil {
			return relErr
		}
		if err != nil { // told a second time, after the folder itself
			all = append(all, entry{path: filepath.ToSlash(rel), kind: aFolder, err: err})
			return fs.SkipDir
		}
		info, err := d.Info()
		if err != nil {
			all = append(all, entry{path: filepath.ToSlash(rel), kind: another, err: err})
			return nil
		}
		e := entryOf(info)
		e.path = filepath.ToSlash(rel)
		all = append(all, e)
		return nil
	})
	return all, err
}

func entryOf(info fs.FileInfo) entry {
	e := entry{path: info.Name(), kind: another, modified: info.ModTime()}
	switch {
	case info.IsDir():
		e.kind = aFolder
	case info.Mode().IsRegular():
		e.kind, e.size = aFile, info.Size()
	}
	return e
}

func (systemDisk) Stat(path string) (entry, error) {
	info, err := os.Lstat(path)
	if err != nil {
		return entry{}, err
	}
	return entryOf(info), nil
}

func (systemDisk) Open(path string) (io.ReadCloser, bool, error) { return openCold(path) }

func (systemDisk) Create(path string) (sink, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	return f, dontKeep(f)
}

func (d systemDisk) MakeDir(path string) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil
	}
	above := filepath.Dir(path)
	if above == path {
		return fs.ErrNotExist // a drive that is not there
	}
	if err := d.MakeDir(above); err != nil {
		return err
	}
	if err := os.Mkdir(path, 0o777); err != nil {
		return err
	}
	return syncDir(above)
}

func (systemDisk) SetTime(path string, modified time.Time) error {
	return os.Chtimes(path, time.Time{}, modified)
}

func (systemDisk) Rename(from, to string) error {
	if err := renameNew(from, to); err != nil {
		return err
	}
	return syncDir(filepath.Dir(to))
}

// renameChecked is for file systems that cannot rename without replacing: it
// looks first. Another program could make the name in between, no other copy of
// ours can: the folder is locked.
func renameChecked(from, to string) error {
	if _, err := os.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

func (systemDisk) Replace(from, to string) error {
	if err := os.Rename(from, to); err != nil {
		return err
	}
	return syncDir(filepath.Dir(to))
}

func (systemDisk) Remove(path string) error { return os.Remove(path) }

func (systemDisk) Device(dir string) (string, error) { return deviceOf(dir) }

func (systemDisk) Room(dir string) (int64, error) { return roomIn(dir) }

// lockName is the file that is held while a copy is written.
const lockName = "lock"

func (systemDisk) Lock(dir string) (func(), error) {
	path := filepath.Join(dir, lockName)
	for {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o666)
		if err != nil {
			return nil, err
		}
		if err := tryLock(f); err != nil {
			_ = f.Close()
			return nil, &film.Error{
				Code: film.CodeExists, Path: filepath.Dir(dir), Msg: "is being written by another copy",
				Hint: "wait until that one has ended, or end it with Ctrl-C",
			}
		}
		// The one before may have taken the file away after it was opened here.
		if held, err := f.Stat(); err == nil {
			if there, err := os.Stat(path); err == nil && os.SameFile(held, there) {
				return func() {
					_ = os.Remove(path) // fails where files in use stay: the lock goes all the same
					_ = f.Close()
					_ = os.Remove(path)
				}, nil
			}
		}
		_ = f.Close()
	}
}
