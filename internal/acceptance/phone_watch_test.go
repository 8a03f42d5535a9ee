package acceptance

import (
	"bufio"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// watching is a run of takeweave watch.
type watching struct {
	t    *testing.T
	said chan watchedWords
}

type watchedWords struct {
	Files []string
	TookS float64 `json:"took_s"`
	Ask   string
	Stop  string
}

func watch(t *testing.T, dir, cards string) watching {
	t.Helper()
	cmd := exec.Command(program, "watch", dir, "--cards", cards, "--json")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	w := watching{t, make(chan watchedWords, 10)}
	go func() {
		defer close(w.said)
		for s := bufio.NewScanner(out); s.Scan(); {
			var told watchedWords
			if json.Unmarshal(s.Bytes(), &told) == nil {
				w.said <- told
			}
		}
	}()
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		if err := cmd.Wait(); err != nil && cmd.ProcessState.ExitCode() != 130 {
			t.Error(err)
		}
	})
	return w
}

func (w watching) next() watchedWords {
	w.t.Helper()
	select {
	case told, ok := <-w.said:
		if !ok {
			w.t.Fatal("watching has ended")
		}
		return told
	case <-time.After(60 * time.Second):
		w.t.Fatal("nothing is told")
	}
	return watchedWords{}
}

// What appears on a card is taken in when it is whole, one after another, and the
// phone has it; what is owed shrinks, and does not grow again when the card is
// taken out.
func TestWatchingACard(t *testing.T) {
	s := onTheDay(t)
	dir := s.dir
	phone := s.newPhone(390, 844).scan()
	card := t.TempDir()
	for _, setup := range []string{"hands", "face"} {
		if err := os.Mkdir(filepath.Join(card, setup), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	w := watch(t, dir, card)

	// The camera, or a copy, writes the file piece by piece.
	clip, err := os.ReadFile(practice(t, "day01", "C0062.MP4"))
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.Create(filepath.Join(card, "hands", "C0062.MP4"))
	if err != nil {
		t.Fatal(err)
	}
	for piece := range 4 {
		if _, err := file.Write(clip[piece*len(clip)/4 : (piece+1)*len(clip)/4]); err != nil {
			t.Fatal(err)
		}
		time.Sleep(700 * time.Millisecond)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	first := w.next()
	if len(first.Files) != 1 || !strings.Contains(first.Stop, "6 lines would show nothing") {
		t.Errorf("the first pass: %+v", first)
	}
	phone.untilSays("agree: 0/6")
	native(t, "cp", practice(t, "day01", "C0059.MP4"), filepath.Join(card, "face"))
	second := w.next()
	if len(second.Files) != 1 || !strings.HasSuffix(second.Files[0], "C0059.MP4") || !strings.Contains(second.Stop, "every line has a picture") {
		t.Errorf("the second pass: %+v", second)
	}
	phone.untilSays("agree: 6/6")
	// Another card, in the place of the first.
	for _, setup := range []string{"hands", "face"} {
		if err := os.RemoveAll(filepath.Join(card, setup)); err != nil {
			t.Fatal(err)
		}
	}
	native(t, "cp", practice(t, "day01", "C0066.MP4"), card)
	third := w.next()
	if len(third.Files) != 1 || strings.Contains(third.Stop, "nothing") {
		t.Errorf("the other card: %+v", third)
	}
	t.Logf("known after %.1f, %.1f and %.1f s", first.TookS, second.TookS, third.TookS)
}
