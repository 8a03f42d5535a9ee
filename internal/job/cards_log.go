package job

import (
	"context"
	"io/fs"
	"path/filepath"
	"slices"

	"takeweave/internal/card"
	"takeweave/internal/daylog"
)

// loggedOn says which files of a card are which passes of the log, and which passes
// have no file, neither on it nor among the clips that are there already: by times
// and lengths, for nothing is listened to yet. It is nil when there is no log.
func (w *Work) loggedOn(ctx context.Context, folder string) ([]card.Logged, error) {
	events, err := w.dayEvents(ctx)
	if err != nil || len(events) == 0 {
		return nil, err
	}
	entries := daylog.Replay(events).Entries
	clips, err := w.cardClips(ctx, folder)
	if err != nil {
		return nil, err
	}
	seen, err := w.Store.AllClips(ctx)
	if err != nil {
		return nil, err
	}
	var there []daylog.Clip
	for _, c := range seen {
		if !c.SoundOnly && c.Refusal == "" {
			there = append(there, daylog.Clip{File: "there/" + c.File, TimeMS: c.ModifiedNS / 1e6, DurationS: c.Duration, Setup: c.Setup})
		}
	}
	return loggedAmong(entries, clips, there), nil
}

// loggedAmong ties passes to the clips of a card and to others.
func loggedAmong(entries []daylog.Entry, onCard, there []daylog.Clip) []card.Logged {
	tying := daylog.Tie(nil, entries, slices.Concat(onCard, there))
	logged := []card.Logged{}
	for _, c := range onCard {
		if !slices.Contains(tying.Unlogged, c.File) {
			logged = append(logged, card.Logged{Pass: "a pass", Files: []string{c.File}})
		}
	}
	for i := range entries {
		if e := &entries[i]; slices.Contains(tying.Missing, e.ID) && e.Verdict != daylog.Lost {
			logged = append(logged, card.Logged{Pass: e.Say()})
		}
	}
	return logged
}

// cardClips looks at the clips of a card. One that cannot be read is left to the
// copy to name.
func (w *Work) cardClips(ctx context.Context, folder string) ([]daylog.Clip, error) {
	var clips []daylog.Clip
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !isClip(path) {
			return ctx.Err()
		}
		name, err := filepath.Rel(folder, path)
		if err != nil {
			return err
		}
		info, err := w.Engine.Probe(ctx, path)
		if err != nil {
			return ctx.Err()
		}
		c := daylog.Clip{File: filepath.ToSlash(name), DurationS: info.Duration}
		if st, err := d.Info(); err == nil {
			c.TimeMS = st.ModTime().UnixMilli()
		}
		if !info.Created.IsZero() {
			c.TimeMS = info.Created.UnixMilli()
		}
		clips = append(clips, c)
		return ctx.Err()
	})
	forgetCopyTimes(clips)
	return clips, err
}
