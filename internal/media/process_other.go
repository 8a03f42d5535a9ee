//go:build !unix

package media

import (
	"os/exec"
	"strings"
)

func ownGroup(*exec.Cmd) {}

func isEPIPE(err error) bool { return strings.Contains(err.Error(), "pipe") }

func isDiskFull(err error) bool { return strings.Contains(err.Error(), "not enough space") }
