package job

import (
	"errors"
	"fmt"
	"io"
	"os"
	"sync/atomic"
)

// parts numbers the files that this program is writing.
var parts atomic.Int64

// writeWhole writes a file that appears under its name only when it is whole
// and on the disk. Several may write the same file at once, as two windows do that
// ask for one picture: each writes its own, and the last one stays.
func writeWhole(name string, write func(io.Writer) error) error {
	part := fmt.Sprintf("%s.%d-%d.part", name, os.Getpid(), parts.Add(1))
	f, err := os.Create(part)
	if err != nil {
		return diskError(name, err)
	}
	defer os.Remove(part) // a no-op once renamed
	if err := write(f); err != nil {
		return errors.Join(diskError(name, err), f.Close())
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return diskError(name, err)
	}
	return os.Rename(part, name)
}
