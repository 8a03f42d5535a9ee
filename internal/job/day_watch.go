package job

import (
	"context"
	"os"
	"time"

	"takeweave/internal/film"
)

// Watched is what became of files that appeared while the folder was watched.
type Watched struct {
	Files []string      // their names, relative to the folder
	Took  time.Duration // from when they were whole to when what is owed was known
	Day   *Day
}

// WatchEvery is how often the folder is looked at. A file is whole when it looks
// the same in two looks and can be read to its end.
const WatchEvery = 2 * time.Second

// Watch takes in what appears in a folder or on a mounted card, until ctx ends:
// lines it up, judges it and tells what is owed then. A card that is taken out is
// waited for. Files that are known are not looked at again.
func (w *Work) Watch(ctx context.Context, folder string, tell func(Watched)) error {
	if err := w.SetClips(ctx, folder); err != nil {
		return err
	}
	if err := w.listenToRecord(ctx); err != nil {
		return err
	}
	var known, before map[string]found
	for {
		now := w.look(folder)
		if whole := changed(now, known); len(whole) > 0 && len(changed(now, before)) == 0 {
			began := time.Now()
			w.forget(whole)
			day, err := w.dayLocked(ctx)
			switch {
			case err == nil:
				known = now
				tell(Watched{Files: whole.names(), Took: time.Since(began), Day: day})
			case film.CodeOf(err) != film.CodeExists: // busy in another window: it is tried again
				return err
			}
		}
		before = now
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(WatchEvery):
		}
	}
}

// listenToRecord gets ready what every pass is compared with.
func (w *Work) listenToRecord(ctx context.Context) error {
	if _, err := w.Song(ctx); err != nil {
		return err
	}
	path, sum, err := w.record(ctx)
	if err != nil {
		return err
	}
	info, err := w.info(ctx, path)
	if err != nil {
		return err
	}
	_, err = w.recordOnce(ctx, path, sum, info.Duration)
	return err
}

// dayLocked works the day out while nobody else works on the film.
func (w *Work) dayLocked(ctx context.Context) (*Day, error) {
	release, err := w.Store.Lock()
	if err != nil {
		return nil, err
	}
	defer release()
	return w.Again(w.Progress).Day(ctx)
}

// forget forgets what was known of files under their names: another card may use
// the same ones.
func (w *Work) forget(files appeared) {
	w.memoryMu.Lock()
	defer w.memoryMu.Unlock()
	for _, f := range files {
		delete(w.infos, f.path)
	}
}

// look lists the camera files of a folder that can be read to their end, by their
// path; none while it is away.
func (w *Work) look(folder string) map[string]found {
	files, err := findClips(folder, w.Store.Dir)
	if err != nil {
		return nil
	}
	all := map[string]found{}
	for _, f := range files {
		if f.hasItsEnd() {
			all[f.path] = f
		}
	}
	return all
}

type appeared []found

func (a appeared) names() (names []string) {
	for _, f := range a {
		names = append(names, f.name)
	}
	return names
}

// changed returns the files that were not there or were others before.
func changed(now, before map[string]found) (files appeared) {
	for path, f := range now {
		if before[path] != f {
			files = append(files, f)
		}
	}
	return files
}

// hasItsEnd reports whether the last byte of a file can be read.
func (f found) hasItsEnd() bool {
	file, err := os.Open(f.path)
	if err != nil {
		return false
	}
	defer file.Close()
	n, _ := file.ReadAt(make([]byte, 1), f.size-1)
	return n == 1
}
