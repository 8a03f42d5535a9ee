package acceptance

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	// Only so that a change in the program makes these tests run again.
	_ "takeweave/internal/cli"
)

// program is the binary under test, built once.
var program string

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "takeweave-acceptance-")
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer os.RemoveAll(dir)
		program = filepath.Join(dir, "takeweave")
		if out, err := exec.Command("go", "build", "-o", program, "takeweave/cmd/takeweave").CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "%s\n%v\n", out, err)
			return 1
		}
		return m.Run()
	}())
}

// ran is what one run of the program left.
type ran struct {
	code      int
	out, errs string
}

// takeweave runs the program to its end.
func takeweave(t *testing.T, args ...string) ran {
	t.Helper()
	return takeweaveWith(t, nil, args...)
}

func takeweaveWith(t *testing.T, env []string, args ...string) ran {
	t.Helper()
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), env...)
	return finish(t, cmd)
}

func finish(t *testing.T, cmd *exec.Cmd) ran {
	t.Helper()
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return ran{cmd.ProcessState.ExitCode(), out.String(), errs.String()}
}

// want fails the test unless the run ended with one of the codes.
func (r ran) want(t *testing.T, codes ...int) ran {
	t.Helper()
	for _, c := range codes {
		if r.code == c {
			return r
		}
	}
	t.Fatalf("exit code %d, want %v\n%s\n%s", r.code, codes, r.out, r.errs)
	return r
}

// interrupted starts the program and sends it an interrupt as soon as a stage
// has begun its work; it returns how the program ended.
func interrupted(t *testing.T, stage string, args ...string) ran {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, append([]string{"--json"}, args...)...)
	var out bytes.Buffer
	cmd.Stdout = &out
	pipe, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var errs strings.Builder
	dec := json.NewDecoder(pipe)
	sent := false
	for {
		var raw json.RawMessage
		if dec.Decode(&raw) != nil {
			break
		}
		errs.Write(raw)
		errs.WriteByte('\n')
		var e struct {
			Stage string
			Ended bool
		}
		if json.Unmarshal(raw, &e) == nil && e.Stage == stage && !e.Ended && !sent {
			sent = true
			if err := cmd.Process.Signal(os.Interrupt); err != nil {
				t.Fatal(err)
			}
		}
	}
	_ = cmd.Wait() // the code tells
	if !sent {
		t.Fatalf("stage %q never began:\n%s", stage, errs.String())
	}
	return ran{cmd.ProcessState.ExitCode(), out.String(), errs.String()}
}

// unfinished lists files that a stopped run must not leave: halves, and results
// under a final name in out.
func unfinished(t *testing.T, dir string) []string {
	t.Helper()
	var left []string
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if !d.IsDir() && (strings.Contains(d.Name(), ".part") || filepath.Base(filepath.Dir(p)) == "out") {
			left = append(left, p)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return left
}

// practice returns a folder of the practice days.
func practice(t *testing.T, elem ...string) string {
	t.Helper()
	p, err := filepath.Abs(filepath.Join(append([]string{"..", "..", "testdata", "practice"}, elem...)...))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// links makes a folder with links to some clips of a practice day.
func links(t *testing.T, day string, files ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, f := range files {
		if err := os.Symlink(practice(t, day, f), filepath.Join(dir, f)); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// readJSON decodes what a run printed.
func readJSON(t *testing.T, r ran, v any) {
	t.Helper()
	if err := json.Unmarshal([]byte(r.out), v); err != nil {
		t.Fatalf("not JSON: %v\n%.500s", err, r.out)
	}
}

// native runs a native tool that the tests need.
func native(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(name, args...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v (make test installs what the tests need)\n%s", name, err, errs.String())
	}
	return out
}
