package job

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sync/errgroup"
)

// Two windows may ask for the same still at the same moment.
func TestTheSameFileMayBeWrittenTwiceAtOnce(t *testing.T) {
	name := filepath.Join(t.TempDir(), "still.jpg")
	started := make(chan struct{})
	var g errgroup.Group
	for i := range 8 {
		g.Go(func() error {
			return writeWhole(name, func(w io.Writer) error {
				if i == 0 {
					close(started)
				}
				<-started // all are writing before one is done
				_, err := io.WriteString(w, strings.Repeat(fmt.Sprint(i), 1000))
				return err
			})
		})
	}
	if err := g.Wait(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(name)
	if err != nil || len(text) != 1000 || strings.Trim(string(text), string(text[:1])) != "" {
		t.Errorf("%d bytes, %v", len(text), err)
	}
	left, err := os.ReadDir(filepath.Dir(name))
	if err != nil || len(left) != 1 {
		t.Errorf("left: %v, %v", left, err)
	}
}

func TestAFileThatFailsLeavesNothing(t *testing.T) {
	name := filepath.Join(t.TempDir(), "report.html")
	broken := errors.New("broken")
	if err := writeWhole(name, func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return broken
	}); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
	if left, err := os.ReadDir(filepath.Dir(name)); err != nil || len(left) != 0 {
		t.Errorf("left: %v, %v", left, err)
	}
}
