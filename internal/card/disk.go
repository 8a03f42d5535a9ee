package card

import (
	"io"
	"path/filepath"
	"time"
)

// disk is what a copy needs of the file system. It is small so that tests can
// stand in for it and break it.
type disk interface {
	// List returns everything below a folder, folders before what they hold.
	List(dir string) ([]entry, error)
	// Stat returns what is at a path, itself and not what it links to; an error
	// that is fs.ErrNotExist when nothing is there.
	Stat(path string) (entry, error)
	// Open reads a file from its device; cold is false when what is read may
	// come from memory instead.
	Open(path string) (r io.ReadCloser, cold bool, err error)
	// Create makes a file, or empties the one of that name: only for names of
	// our own.
	Create(path string) (sink, error)
	// MakeDir makes a folder and those above it.
	MakeDir(path string) error
	SetTime(path string, modified time.Time) error
	// Rename gives a file its name for good. When there is something of that
	// name already, nothing happens and the error is fs.ErrExist.
	Rename(from, to string) error
	// Replace is a Rename that takes the place of what is there: only for files
	// of our own.
	Replace(from, to string) error
	// Remove deletes a file of our own.
	Remove(path string) error
	// Device tells on which device a folder lies.
	Device(dir string) (string, error)
	// Room returns how many bytes a folder's device takes, a large number where
	// the system does not tell.
	Room(dir string) (int64, error)
	// Lock takes a folder for one copy, without waiting, until release is called
	// or the program ends in any way.
	Lock(dir string) (release func(), err error)
}

// sink is a file being written.
type sink interface {
	io.WriteCloser
	Sync() error // returns when all is on the device
}

// kind is what is found under a name.
type kind uint8

const (
	aFile kind = iota
	aFolder
	another // a link, a pipe, a device
)

// entry is something in a folder.
type entry struct {
	path     string // relative to the listed folder, with forward slashes; the base name from Stat
	kind     kind
	size     int64
	modified time.Time
	err      error // why a folder's contents, or what this is, could not be read
}

// below returns the path of a file of a folder.
func below(dir, path string) string { return filepath.Join(dir, filepath.FromSlash(path)) }

// Devices that never count as one of those a card is wiped on.
const (
	memory = "memory"                                 // ends with the computer's power
	untold = "a device that the system does not tell" // may be the same as any other
)
