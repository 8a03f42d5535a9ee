// Command takeweave cuts a film from the record of a song and the passes of one
// musician filmed many times with one camera.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"takeweave/internal/cli"
	"takeweave/internal/media/codec"
)

func main() {
	// The embedded codec runs in a child: this program, started again.
	if len(os.Args) > 1 && os.Args[1] == codec.Command {
		os.Exit(codec.Main(os.Args[2:]))
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.Run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
