//go:build unix

package media

import (
	"errors"
	"os/exec"
	"syscall"
)

// ownGroup gives the child its own process group, so that a Ctrl-C in the
// terminal reaches only us, and cancelling kills all that the child started.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	endWithUs(cmd.SysProcAttr)
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}

func isEPIPE(err error) bool { return errors.Is(err, syscall.EPIPE) }

func isDiskFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}
