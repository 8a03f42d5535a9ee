package job

import (
	"errors"

	"golang.org/x/sys/windows"
)

func isNoSpace(err error) bool { return errors.Is(err, windows.ERROR_DISK_FULL) }
