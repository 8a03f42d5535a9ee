package media

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"time"
)

// process is one run of a child.
type process struct {
	program []string
	args    []string
	stdin   func(io.Writer) error // feeds the child, nil for no input
	stdout  func(io.Reader) error // takes what it prints, nil to drop it
}

// childError is a child that failed: what it said last, and how it ended.
type childError struct {
	log string
	err error
}

func (e *childError) Error() string {
	lines := strings.Split(strings.TrimSpace(e.log), "\n")
	if last := lines[len(lines)-1]; last != "" {
		return last
	}
	return e.err.Error()
}

func (e *childError) Unwrap() error { return e.err }

// Messages after which an output is not whole, whatever the exit code says.
var lostOutput = []string{"No space left on device", "Error writing trailer"}

// run starts the child, feeds and reads it, and waits for its end. If ctx ends
// the child and its group are killed and the cause is returned; an error of
// the feeding or taking function kills it too and is returned as it is.
func run(ctx context.Context, p process) error {
	child, stop := context.WithCancel(ctx)
	defer stop()
	cmd := exec.CommandContext(child, p.program[0], append(p.program[1:len(p.program):len(p.program)], p.args...)...)
	ownGroup(cmd)
	cmd.WaitDelay = 5 * time.Second
	log := &tail{}
	cmd.Stderr = log

	var in io.WriteCloser
	var out io.ReadCloser
	var err error
	if p.stdin != nil {
		if in, err = cmd.StdinPipe(); err != nil {
			return err
		}
	}
	if p.stdout != nil {
		if out, err = cmd.StdoutPipe(); err != nil {
			return err
		}
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("start %s: %w", p.program[0], err)
	}
	fed := make(chan error, 1)
	if p.stdin != nil {
		go func() {
			err := p.stdin(in)
			if err != nil {
				stop()
			}
			in.Close()
			fed <- err
		}()
	} else {
		fed <- nil
	}
	var takeErr error
	if p.stdout != nil {
		if takeErr = p.stdout(out); takeErr != nil {
			stop()
		}
	}
	waitErr := cmd.Wait() // also closes the pipes, so a feeder that hangs ends
	feedErr := <-fed

	switch {
	case ctx.Err() != nil:
		return context.Cause(ctx)
	case takeErr != nil && !errors.Is(takeErr, os.ErrClosed):
		return takeErr
	case feedErr != nil && !brokenPipe(feedErr):
		return feedErr
	case waitErr != nil:
		return &childError{log.String(), waitErr}
	}
	for _, m := range lostOutput {
		if strings.Contains(log.String(), m) {
			return &childError{log.String(), errors.New(m)}
		}
	}
	return nil
}

// brokenPipe reports whether feeding stopped because the child had ended.
func brokenPipe(err error) bool {
	return errors.Is(err, os.ErrClosed) || errors.Is(err, io.ErrClosedPipe) || isEPIPE(err)
}

// tail keeps the last few kilobytes written to it.
type tail struct{ kept []byte }

const tailBytes = 8 << 10

func (t *tail) Write(p []byte) (int, error) {
	t.kept = append(t.kept, p...)
	if n := len(t.kept) - tailBytes; n > 0 {
		t.kept = append(t.kept[:0], t.kept[n:]...)
	}
	return len(p), nil
}

func (t *tail) String() string { return string(t.kept) }

// copyTo returns a taker that copies all output to w.
func copyTo(w io.Writer) func(io.Reader) error {
	return func(r io.Reader) error {
		_, err := io.Copy(w, r)
		return err
	}
}

// countFrames returns a taker of ffmpeg's -progress output which tells the
// number of frames written so far, and keeps the last number in *total.
func countFrames(total *int64, progress func(frames int64)) func(io.Reader) error {
	return func(r io.Reader) error {
		lines := bufio.NewScanner(r)
		for lines.Scan() {
			text, ok := strings.CutPrefix(lines.Text(), "frame=")
			if !ok {
				continue
			}
			n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
			if err != nil {
				continue
			}
			*total = n
			if progress != nil {
				progress(n)
			}
		}
		return lines.Err()
	}
}
