package card

import (
	"errors"
	"io"
	"os"
	"regexp"

	"golang.org/x/sys/unix"
)

// openCold asks the system not to answer from memory. What a copy writes is not
// kept there either: see dontKeep.
func openCold(path string) (io.ReadCloser, bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, false, err
	}
	return f, dontKeep(f) == nil, nil
}

func dontKeep(f *os.File) error {
	_, err := unix.FcntlInt(f.Fd(), unix.F_NOCACHE, 1)
	return err
}

func renameNew(from, to string) error {
	err := unix.RenamexNp(from, to, unix.RENAME_EXCL)
	if errors.Is(err, unix.ENOTSUP) || errors.Is(err, unix.EINVAL) {
		return renameChecked(from, to)
	}
	return err
}

// slice matches the end of a device's name that tells a volume of it.
var slice = regexp.MustCompile(`(s\d+)+$`)

// deviceOf names the disk a folder lies on. All volumes of a container are the
// same disk.
func deviceOf(dir string) (string, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return "", err
	}
	return slice.ReplaceAllString(unix.ByteSliceToString(s.Mntfromname[:]), ""), nil
}

func roomIn(dir string) (int64, error) {
	var s unix.Statfs_t
	err := unix.Statfs(dir, &s)
	return int64(s.Bavail) * int64(s.Bsize), err
}
