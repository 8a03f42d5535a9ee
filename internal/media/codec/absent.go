//go:build nocodec

package codec

import (
	"fmt"
	"os"
)

// Available says why there is no embedded FFmpeg in this build.
func Available() error {
	return fmt.Errorf("this build leaves the embedded FFmpeg out")
}

// Main reports that there is nothing to run.
func Main([]string) int {
	fmt.Fprintln(os.Stderr, Available())
	return 1
}
