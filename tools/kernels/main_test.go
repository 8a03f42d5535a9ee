package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestWhatIsCommittedIsWhatIsGenerated runs the generator and compares with what
// lies in internal/dsp, but for the first line, which tells the command.
func TestWhatIsCommittedIsWhatIsGenerated(t *testing.T) {
	asm, stubs := filepath.Join(t.TempDir(), "v.s"), filepath.Join(t.TempDir(), "v.go")
	if out, err := exec.Command("go", "run", ".", "-out", asm, "-stubs", stubs, "-pkg", "dsp").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for file, committed := range map[string]string{asm: "vector_amd64.s", stubs: "vector_amd64.go"} {
		body := func(path string) string {
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			_, rest, _ := strings.Cut(string(b), "\n")
			return rest
		}
		if body(file) != body(filepath.Join("../../internal/dsp", committed)) {
			t.Errorf("%s is not what the generator writes: run go generate ./internal/dsp", committed)
		}
	}
}
