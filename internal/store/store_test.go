package store

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

func newStore(t *testing.T) *Store {
	t.Helper()
	s, err := Create(context.Background(), filepath.Join(t.TempDir(), "slow ferry"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	ctx := context.Background()
	s := newStore(t)
	if err := s.Set(ctx, "record", "song/a.wav"); err != nil {
		t.Fatal(err)
	}
	deg := -30.0
	setups := []film.Setup{{Name: "wide", Shows: film.ShowsBoth, Size: film.SizeWide, Serves: []string{"A", "B2"}, Safety: true, AngleDeg: &deg, Magnify: 0.5}}
	if err := s.PutSetups(ctx, setups); err != nil {
		t.Fatal(err)
	}
	clip := film.Clip{Path: "/cards/a/C0001.MP4", File: "C0001.MP4", Rate: film.Rate{Num: 30000, Den: 1001}, Notes: []string{"upside down"}}
	if err := s.PutClips(ctx, []SeenClip{{Clip: clip, ModifiedNS: 5}}); err != nil {
		t.Fatal(err)
	}
	if err := s.PutResult(ctx, "song", "", "k1", film.Song{TempoBPM: 92}); err != nil {
		t.Fatal(err)
	}
	again, err := Open(ctx, s.Dir)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if v, err := again.Setting(ctx, "record"); v != "song/a.wav" || err != nil {
		t.Errorf("setting = %q, %v", v, err)
	}
	if v, err := again.Setting(ctx, "never set"); v != "" || err != nil {
		t.Errorf("unset setting = %q, %v", v, err)
	}
	got, err := again.Setups(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(map[string]film.Setup{"wide": setups[0]}, got); d != "" {
		t.Error(d)
	}
	clips, err := again.Clips(ctx)
	if err != nil || len(clips) != 1 {
		t.Fatalf("clips = %v, %v", clips, err)
	}
	clip.ID = clips[0].ID
	if d := cmp.Diff(clip, clips[0]); d != "" || clip.ID == 0 {
		t.Error(d)
	}
	var song film.Song
	if key, err := again.Result(ctx, "song", "", &song); key != "k1" || song.TempoBPM != 92 || err != nil {
		t.Errorf("result = %q %v %v", key, song, err)
	}
	if key, err := again.Result(ctx, "song", "7", &song); key != "" || err != nil {
		t.Errorf("missing result = %q %v", key, err)
	}
}

func TestAClipKeepsItsIDAndLeavesWhenGone(t *testing.T) {
	ctx := context.Background()
	s := newStore(t)
	a := SeenClip{Clip: film.Clip{Path: "/c/A.MP4", File: "A.MP4"}}
	b := SeenClip{Clip: film.Clip{Path: "/c/B.MP4", File: "B.MP4"}}
	if err := s.PutClips(ctx, []SeenClip{a, b}); err != nil {
		t.Fatal(err)
	}
	first, _ := s.Clips(ctx)
	b.Digest = "changed"
	if err := s.PutClips(ctx, []SeenClip{b}); err != nil {
		t.Fatal(err)
	}
	now, _ := s.Clips(ctx)
	if len(now) != 1 || now[0].ID != first[1].ID || now[0].Digest != "changed" {
		t.Errorf("after the second look: %+v, before: %+v", now, first)
	}
	all, _ := s.AllClips(ctx)
	if len(all) != 2 {
		t.Errorf("a clip that left the card was forgotten: %+v", all)
	}
}

func TestFoldersThatAreNoFilmOrAlreadyOne(t *testing.T) {
	ctx := context.Background()
	if _, err := Open(ctx, t.TempDir()); film.CodeOf(err) != film.CodeNotAFilm || film.HintOf(err) == "" {
		t.Errorf("open of an empty folder: %v", err)
	}
	s := newStore(t)
	if _, err := Create(ctx, s.Dir); film.CodeOf(err) != film.CodeExists {
		t.Errorf("create twice: %v", err)
	}
	bad := t.TempDir()
	if err := os.WriteFile(filepath.Join(bad, DatabaseFile), []byte("this is not a database, whatever its name says"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(ctx, bad); err == nil || film.HintOf(err) == "" {
		t.Errorf("a damaged database gave %v", err)
	}
}

func TestTheSecondWindowIsToldSo(t *testing.T) {
	s := newStore(t)
	release, err := s.Lock()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Lock(); film.CodeOf(err) != film.CodeExists {
		t.Errorf("second lock: %v", err)
	}
	release()
	again, err := s.Lock()
	if err != nil {
		t.Fatalf("after release: %v", err)
	}
	again()
}

func TestAFilmOfANewerProgramIsNotTouched(t *testing.T) {
	ctx := context.Background()
	s := newStore(t)
	if err := s.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.Exec("PRAGMA user_version = 99")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(ctx, s.Dir); err == nil {
		t.Error("a newer schema was opened")
	}
}

func TestWhatAnotherProgramWritesIsSeen(t *testing.T) {
	dir := t.TempDir()
	mine, err := Create(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer mine.Close()
	other, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	saw := func() bool {
		t.Helper()
		changed, err := mine.ChangedElsewhere(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return changed
	}
	if saw() {
		t.Error("at first")
	}
	if err := mine.Set(t.Context(), "a", "1"); err != nil {
		t.Fatal(err)
	}
	if saw() {
		t.Error("my own change")
	}
	if err := other.Set(t.Context(), "a", "2"); err != nil {
		t.Fatal(err)
	}
	if !saw() || saw() {
		t.Error("the other's change is to be seen once")
	}
}
