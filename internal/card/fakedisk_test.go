package card

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"takeweave/internal/film"
)

var (
	errBroken = errors.New("input/output error")
	errGone   = errors.New("no such device")
	errKilled = errors.New("killed")
)

// fakeDisk is a computer with drives that can be made to fail. The first element
// of a path is the drive. What was written but not synced is lost when the
// computer dies.
type fakeDisk struct {
	mu    sync.Mutex
	files map[string]*fakeFile
	dirs  map[string]time.Time
	locks map[string]bool

	chance *rand.Rand
	faults faults
	ops    int
	room   int64  // what Room tells
	kill   func() // called once when the computer dies
}

type fakeFile struct {
	synced, bytes []byte
	modified      time.Time
}

// faults are chances per operation, and what happens at a certain operation.
// Flips of what the card gives are apart: one reading cannot find them.
type faults struct {
	cardFlip, readFlip, writeFlip, shortRead, earlyEnd, shortWrite, lostWrite, readError, writeError, syncError, renameError float64

	killAt, goneAt int    // operation; 0 is never
	gone           string // which drive goes
	full           map[string]int
	warm           string // a drive that is read from memory
}

func newFakeDisk() *fakeDisk {
	return &fakeDisk{files: map[string]*fakeFile{}, dirs: map[string]time.Time{}, locks: map[string]bool{}, room: 1 << 40}
}

func (d *fakeDisk) put(path string, b []byte, modified time.Time) {
	d.files[path] = &fakeFile{bytes.Clone(b), bytes.Clone(b), modified}
	d.makeDirs(filepath.Dir(path))
}

func (d *fakeDisk) makeDirs(path string) {
	for ; path != "/"; path = filepath.Dir(path) {
		if _, ok := d.dirs[path]; !ok {
			d.dirs[path] = aDay
		}
	}
}

func drive(path string) string { return strings.Split(path, "/")[1] }

// op counts an operation and fails when the computer or the drive is gone.
func (d *fakeDisk) op(path string) error {
	d.ops++
	f := d.faults
	if f.killAt > 0 && d.ops >= f.killAt {
		if d.kill != nil {
			d.kill()
			d.kill = nil
		}
		return errKilled
	}
	if f.goneAt > 0 && d.ops >= f.goneAt && drive(path) == f.gone {
		return errGone
	}
	return nil
}

func (d *fakeDisk) happens(chance float64) bool { return chance > 0 && d.chance.Float64() < chance }

// restart is what a computer comes up with after it died, or a drive after it
// was plugged in again.
func (d *fakeDisk) restart() {
	for _, f := range d.files {
		f.bytes = bytes.Clone(f.synced)
	}
	d.locks, d.faults, d.ops, d.kill = map[string]bool{}, faults{}, 0, nil
}

func (d *fakeDisk) List(dir string) ([]entry, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(dir); err != nil {
		return nil, err
	}
	if _, ok := d.dirs[dir]; !ok {
		return nil, fs.ErrNotExist
	}
	var all []entry
	for p, f := range d.files {
		if rel, ok := strings.CutPrefix(p, dir+"/"); ok {
			all = append(all, entry{path: rel, kind: aFile, size: int64(len(f.bytes)), modified: f.modified})
		}
	}
	for p, at := range d.dirs {
		if rel, ok := strings.CutPrefix(p, dir+"/"); ok {
			all = append(all, entry{path: rel, kind: aFolder, modified: at})
		}
	}
	slices.SortFunc(all, func(a, b entry) int { return strings.Compare(a.path, b.path) })
	return all, nil
}

func (d *fakeDisk) Stat(path string) (entry, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return entry{}, err
	}
	if f := d.files[path]; f != nil {
		return entry{path: filepath.Base(path), kind: aFile, size: int64(len(f.bytes)), modified: f.modified}, nil
	}
	if at, ok := d.dirs[path]; ok {
		return entry{path: filepath.Base(path), kind: aFolder, modified: at}, nil
	}
	return entry{}, fs.ErrNotExist
}

func (d *fakeDisk) Open(path string) (io.ReadCloser, bool, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return nil, false, err
	}
	f := d.files[path]
	if f == nil {
		return nil, false, fs.ErrNotExist
	}
	return &fakeReader{d, path, f, 0}, drive(path) != d.faults.warm, nil
}

type fakeReader struct {
	d    *fakeDisk
	path string
	f    *fakeFile
	at   int
}

func (r *fakeReader) Read(p []byte) (int, error) {
	d := r.d
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(r.path); err != nil {
		return 0, err
	}
	if r.at >= len(r.f.bytes) || d.happens(d.faults.earlyEnd) {
		return 0, io.EOF
	}
	if d.happens(d.faults.readError) {
		return 0, errBroken
	}
	if d.happens(d.faults.shortRead) {
		p = p[:1+d.chance.IntN(len(p))]
	}
	n := copy(p, r.f.bytes[r.at:])
	r.at += n
	flip := d.faults.readFlip
	if drive(r.path) == "card" {
		flip = d.faults.cardFlip
	}
	if d.happens(flip) {
		p[d.chance.IntN(n)] ^= 1 << d.chance.IntN(8)
	}
	return n, nil
}

func (r *fakeReader) Close() error { return nil }

func (d *fakeDisk) Create(path string) (sink, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return nil, err
	}
	if _, ok := d.dirs[filepath.Dir(path)]; !ok {
		return nil, fs.ErrNotExist
	}
	f := &fakeFile{modified: aDay}
	d.files[path] = f
	return &fakeSink{d, path, f}, nil
}

type fakeSink struct {
	d    *fakeDisk
	path string
	f    *fakeFile
}

func (s *fakeSink) Write(p []byte) (int, error) {
	d := s.d
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(s.path); err != nil {
		return 0, err
	}
	if room, limited := d.faults.full[drive(s.path)]; limited && d.used(drive(s.path))+len(p) > room {
		return 0, syscall.ENOSPC
	}
	switch {
	case len(p) == 0:
	case d.happens(d.faults.writeError):
		return 0, errBroken
	case d.happens(d.faults.shortWrite):
		n := d.chance.IntN(len(p))
		s.f.bytes = append(s.f.bytes, p[:n]...)
		return n, nil
	case d.happens(d.faults.lostWrite):
		return len(p), nil
	}
	s.f.bytes = append(s.f.bytes, p...)
	if len(p) > 0 && d.happens(d.faults.writeFlip) {
		s.f.bytes[len(s.f.bytes)-1-d.chance.IntN(len(p))] ^= 1 << d.chance.IntN(8)
	}
	return len(p), nil
}

func (d *fakeDisk) used(name string) int {
	n := 0
	for p, f := range d.files {
		if drive(p) == name {
			n += len(f.bytes)
		}
	}
	return n
}

func (s *fakeSink) Sync() error {
	s.d.mu.Lock()
	defer s.d.mu.Unlock()
	if err := s.d.op(s.path); err != nil {
		return err
	}
	if s.d.happens(s.d.faults.syncError) {
		return errBroken
	}
	s.f.synced = bytes.Clone(s.f.bytes)
	return nil
}

func (s *fakeSink) Close() error { return nil }

func (d *fakeDisk) MakeDir(path string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return err
	}
	for p := path; p != "/"; p = filepath.Dir(p) {
		if d.files[p] != nil {
			return errors.New("not a directory")
		}
	}
	d.makeDirs(path)
	return nil
}

func (d *fakeDisk) SetTime(path string, modified time.Time) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return err
	}
	if f := d.files[path]; f != nil {
		f.modified = modified
	} else {
		d.dirs[path] = modified
	}
	return nil
}

func (d *fakeDisk) Rename(from, to string) error { return d.rename(from, to, false) }

func (d *fakeDisk) Replace(from, to string) error { return d.rename(from, to, true) }

func (d *fakeDisk) rename(from, to string, replace bool) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(from); err != nil {
		return err
	}
	if d.happens(d.faults.renameError) {
		return errBroken
	}
	if _, isDir := d.dirs[to]; isDir || d.files[to] != nil && !replace {
		return fs.ErrExist
	}
	if d.files[from] == nil {
		return fs.ErrNotExist
	}
	d.files[to] = d.files[from]
	delete(d.files, from)
	return nil
}

func (d *fakeDisk) Remove(path string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(path); err != nil {
		return err
	}
	if d.files[path] != nil {
		delete(d.files, path)
		return nil
	}
	for p := range d.files {
		if strings.HasPrefix(p, path+"/") {
			return errors.New("not empty")
		}
	}
	delete(d.dirs, path)
	return nil
}

func (d *fakeDisk) Device(dir string) (string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return "drive " + drive(dir), d.op(dir)
}

func (d *fakeDisk) Room(dir string) (int64, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.room, d.op(dir)
}

func (d *fakeDisk) Lock(dir string) (func(), error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.op(dir); err != nil {
		return nil, err
	}
	if d.locks[dir] {
		return nil, &film.Error{Code: film.CodeExists, Path: dir, Msg: "is locked"}
	}
	d.locks[dir] = true
	return func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		delete(d.locks, dir)
	}, nil
}

var aDay = time.Date(2031, 3, 9, 8, 7, 6, 0, time.UTC)
