package card

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// openCold reads around the page cache. Where the file system cannot, what it
// holds of the file is dropped first, which the system takes as a wish.
func openCold(path string) (io.ReadCloser, bool, error) {
	if f, err := os.OpenFile(path, os.O_RDONLY|unix.O_DIRECT, 0); err == nil {
		cold := deviceIsLasting(f)
		r, err := newDirectReader(f)
		return r, cold, err
	} else if !errors.Is(err, unix.EINVAL) {
		return nil, false, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, false, err
	}
	_ = unix.Fadvise(int(f.Fd()), 0, 0, unix.FADV_DONTNEED)
	return f, false, nil
}

// deviceIsLasting reports whether a file is kept anywhere but in memory.
func deviceIsLasting(f *os.File) bool {
	var s unix.Statfs_t
	err := unix.Fstatfs(int(f.Fd()), &s)
	return err == nil && s.Type != unix.TMPFS_MAGIC && s.Type != unix.RAMFS_MAGIC
}

// dontKeep has nothing to do: reading goes around what writing leaves in memory.
func dontKeep(*os.File) error { return nil }

func renameNew(from, to string) error {
	err := unix.Renameat2(unix.AT_FDCWD, from, unix.AT_FDCWD, to, unix.RENAME_NOREPLACE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) {
		return renameChecked(from, to)
	}
	return err
}

// deviceOf names the drive a folder lies on: partitions, encrypted volumes and
// subvolumes of a drive are the same drive. A share is named by its server.
func deviceOf(dir string) (string, error) {
	mounts, err := os.ReadFile("/proc/self/mountinfo")
	if err != nil {
		return "", err
	}
	real, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return "", err
	}
	m := mountOf(mounts, real)
	if strings.HasPrefix(m.number, "0:") { // not a drive itself, but it may lie on one
		var s unix.Stat_t
		if strings.HasPrefix(m.source, "/dev/") && unix.Stat(m.source, &s) == nil {
			m.number = fmt.Sprintf("%d:%d", unix.Major(s.Rdev), unix.Minor(s.Rdev))
		}
	}
	switch {
	case m.kind == "tmpfs" || m.kind == "ramfs":
		return memory, nil
	case !strings.HasPrefix(m.number, "0:"):
		return strings.Join(drivesOf("/sys/dev/block/"+m.number), "+"), nil
	case slices.Contains([]string{"nfs", "nfs4", "cifs", "smb3", "fuse.sshfs"}, m.kind):
		server, _, _ := strings.Cut(strings.TrimPrefix(m.source, "//"), "/")
		server, _, _ = strings.Cut(server, ":")
		return "server " + server, nil
	}
	return untold, nil
}

// mount is where a file system comes from.
type mount struct{ number, kind, source string }

// mountOf returns the file system that holds a path. Source: Linux manual,
// proc_pid_mountinfo(5).
func mountOf(mountinfo []byte, path string) (m mount) {
	longest := -1
	for line := range bytes.Lines(mountinfo) {
		before, after, found := strings.Cut(strings.TrimSpace(string(line)), " - ")
		fields, rest := strings.Fields(before), strings.Fields(after)
		if !found || len(fields) < 5 || len(rest) < 2 {
			continue
		}
		// Later lines cover earlier ones of the same place.
		if at := unescaped(fields[4]); within(path, at) && len(at) >= longest {
			longest, m = len(at), mount{fields[2], rest[0], unescaped(rest[1])}
		}
	}
	return m
}

// unescaped turns \040 and the like back into characters.
func unescaped(s string) string {
	for i := 0; i+3 < len(s); i++ {
		if n, err := strconv.ParseUint(s[i+1:i+4], 8, 8); s[i] == '\\' && err == nil {
			s = s[:i] + string([]byte{byte(n)}) + s[i+4:]
		}
	}
	return s
}

// drivesOf returns the names of the drives below a block device.
func drivesOf(sys string) []string {
	real, err := filepath.EvalSymlinks(sys)
	if err != nil {
		return []string{filepath.Base(sys)}
	}
	if _, err := os.Stat(filepath.Join(real, "partition")); err == nil {
		return []string{filepath.Base(filepath.Dir(real))}
	}
	parts, err := os.ReadDir(filepath.Join(real, "slaves"))
	if err != nil || len(parts) == 0 {
		return []string{filepath.Base(real)}
	}
	var all []string
	for _, p := range parts {
		all = append(all, drivesOf(filepath.Join(real, "slaves", p.Name()))...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func roomIn(dir string) (int64, error) {
	var s unix.Statfs_t
	err := unix.Statfs(dir, &s)
	return int64(s.Bavail) * int64(s.Bsize), err
}
