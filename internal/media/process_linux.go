package media

import "syscall"

// endWithUs lets the kernel kill the child when this program is killed.
func endWithUs(attr *syscall.SysProcAttr) { attr.Pdeathsig = syscall.SIGKILL }
