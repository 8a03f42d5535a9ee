package card

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"unsafe"

	"golang.org/x/sys/windows"
)

func tryLock(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{})
}

// syncDir has nothing to do: names are written through with the files.
func syncDir(string) error { return nil }

// dontKeep has nothing to do: reading goes around what writing leaves in memory.
func dontKeep(*os.File) error { return nil }

// openCold reads without buffering; where that cannot be, what is read may come
// from memory.
func openCold(path string) (io.ReadCloser, bool, error) {
	name, err := windows.UTF16PtrFromString(path)
	if err != nil {
		return nil, false, err
	}
	h, err := windows.CreateFile(name, windows.GENERIC_READ, windows.FILE_SHARE_READ, nil, windows.OPEN_EXISTING, windows.FILE_FLAG_NO_BUFFERING, 0)
	if err == nil {
		r, err := newDirectReader(os.NewFile(uintptr(h), path))
		return r, true, err
	}
	f, err := os.Open(path)
	return f, false, err
}

func renameNew(from, to string) error {
	a, err := windows.UTF16PtrFromString(from)
	if err != nil {
		return err
	}
	b, err := windows.UTF16PtrFromString(to)
	if err != nil {
		return err
	}
	err = windows.MoveFileEx(a, b, windows.MOVEFILE_WRITE_THROUGH)
	if errors.Is(err, windows.ERROR_ALREADY_EXISTS) {
		return fs.ErrExist
	}
	return err
}

// storageNumber is what IOCTL_STORAGE_GET_DEVICE_NUMBER answers.
type storageNumber struct{ kind, number, partition uint32 }

const ioctlStorageGetDeviceNumber = 0x2d1080 // winioctl.h, from memory

// deviceOf names the drive of a folder's volume, or the volume when it does not
// tell its drive, as shares do not.
func deviceOf(dir string) (string, error) {
	path, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return "", err
	}
	var root [windows.MAX_PATH + 1]uint16
	if err := windows.GetVolumePathName(path, &root[0], uint32(len(root))); err != nil {
		return "", err
	}
	volume := strings.TrimSuffix(windows.UTF16ToString(root[:]), `\`)
	name, err := windows.UTF16PtrFromString(`\\.\` + volume)
	if err != nil {
		return "", err
	}
	h, err := windows.CreateFile(name, 0, windows.FILE_SHARE_READ|windows.FILE_SHARE_WRITE, nil, windows.OPEN_EXISTING, 0, 0)
	if err != nil {
		return volume, nil
	}
	defer func() { _ = windows.CloseHandle(h) }()
	var n storageNumber
	var got uint32
	if err := windows.DeviceIoControl(h, ioctlStorageGetDeviceNumber, nil, 0, (*byte)(unsafe.Pointer(&n)), uint32(unsafe.Sizeof(n)), &got, nil); err != nil {
		return volume, nil
	}
	return fmt.Sprintf("drive %d.%d", n.kind, n.number), nil
}

func roomIn(dir string) (int64, error) {
	path, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var room uint64
	err = windows.GetDiskFreeSpaceEx(path, &room, nil, nil)
	return int64(min(room, 1<<62)), err
}
