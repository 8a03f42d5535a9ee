package card

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The second line is the example of the Linux manual, proc_pid_mountinfo(5).
const someMounts = `21 1 8:1 / / rw,relatime - ext4 /dev/sda1 rw
36 35 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue
40 21 8:17 / /media/two\040words rw shared:5 - exfat /dev/sdb1 rw
41 21 0:44 / /media/share rw - nfs4 shelf:/films rw
42 41 0:45 / /media/share rw - tmpfs tmpfs rw
`

func TestMountOf(t *testing.T) {
	for path, want := range map[string]mount{
		"/":                    {"8:1", "ext4", "/dev/sda1"},
		"/mnt2/x":              {"98:0", "ext3", "/dev/root"},
		"/mnt22":               {"8:1", "ext4", "/dev/sda1"},
		"/media/two words/a/b": {"8:17", "exfat", "/dev/sdb1"},
		"/media/share":         {"0:45", "tmpfs", "tmpfs"},
	} {
		if got := mountOf([]byte(someMounts), path); got != want {
			t.Errorf("%s: %v, want %v", path, got, want)
		}
	}
}

// The kernel's tree in small: a drive with a partition, and an encrypted volume
// on that partition.
func TestDrivesOf(t *testing.T) {
	sys, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	change(t, filepath.Join(sys, "sdb", "sdb1", "partition"), "1")
	change(t, filepath.Join(sys, "sdc", "size"), "9")
	if err := os.MkdirAll(filepath.Join(sys, "dm-0", "slaves"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(sys, "sdb", "sdb1"), filepath.Join(sys, "dm-0", "slaves", "sdb1")); err != nil {
		t.Fatal(err)
	}
	for node, want := range map[string]string{"sdb/sdb1": "sdb", "sdb": "sdb", "sdc": "sdc", "dm-0": "sdb", "8:99": "8:99"} {
		if got := drivesOf(filepath.Join(sys, node)); !cmp.Equal(got, []string{want}) {
			t.Errorf("%s is on %v, want %s", node, got, want)
		}
	}
}

func TestMemoryIsNoDevice(t *testing.T) {
	const shm = "/dev/shm"
	mounts, err := os.ReadFile("/proc/self/mountinfo")
	if err != nil || mountOf(mounts, shm).kind != "tmpfs" {
		t.Skip("no memory file system here")
	}
	if got, err := deviceOf(shm); err != nil || got != memory {
		t.Errorf("%q, %v", got, err)
	}
	path := filepath.Join(shm, "takeweave-card-test-"+strings.ReplaceAll(t.TempDir(), "/", "-"))
	change(t, path, "x")
	defer func() { _ = os.Remove(path) }()
	r, cold, err := openCold(path)
	if err != nil || cold {
		t.Errorf("memory was taken for a device: %v", err)
	}
	_ = r.Close()
}
