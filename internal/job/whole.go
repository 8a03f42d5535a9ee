package job

import (
	"errors"
	"io"
	"os"
)

// writeWhole writes a file that appears under its name only when it is whole
// and on the disk.
func writeWhole(name string, write func(io.Writer) error) error {
	f, err := os.Create(name + ".part")
	if err != nil {
		return diskError(name, err)
	}
	defer os.Remove(name + ".part") // a no-op once renamed
	if err := write(f); err != nil {
		return errors.Join(diskError(name, err), f.Close())
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return diskError(name, err)
	}
	return os.Rename(name+".part", name)
}
