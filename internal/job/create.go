package job

import (
	"context"
	"errors"
	"io"
	"os"
	"path"
	"path/filepath"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
	"takeweave/internal/store"
)

// Create makes a new film in dir from a record, which is copied into it; one that
// was made by [CreatePlanned] gets its record.
func Create(ctx context.Context, e *media.Engine, dir, recordFile string) (*store.Store, error) {
	if _, err := os.Stat(recordFile); err != nil {
		return nil, &film.Error{Code: film.CodeNotFound, Path: recordFile, Msg: "cannot be read", Hint: "give the master recording: --song RECORD (WAV, FLAC, MP3 or M4A)", Err: errors.Unwrap(err)}
	}
	info, err := e.Probe(ctx, recordFile)
	if err != nil {
		return nil, err
	}
	if info.Sound == nil {
		return nil, &film.Error{Code: film.CodeNoSound, Path: recordFile, Msg: "holds no sound, so it cannot be the record", Hint: "give the master recording as WAV, FLAC, MP3 or M4A"}
	}
	s, err := store.Create(ctx, dir)
	planned := film.CodeOf(err) == film.CodeExists
	if planned {
		s, err = openPlanned(ctx, dir, err)
	}
	if err != nil {
		return nil, err
	}
	keep := path.Join("song", filepath.Base(recordFile))
	to := filepath.Join(s.Dir, filepath.FromSlash(keep))
	err = copyFile(recordFile, to)
	var sum string
	if err == nil {
		sum, err = fingerprint.File(ctx, to, func(float64) {})
	}
	if err == nil {
		err = s.Set(ctx, settingRecordDigest, sum)
	}
	if err == nil {
		err = s.Set(ctx, settingRecord, keep) // last: a film with this set is whole
	}
	switch {
	case err != nil && planned:
		return nil, errors.Join(err, s.Close())
	case err != nil:
		return nil, errors.Join(err, s.Close(), removeUnfinished(s.Dir))
	}
	return s, nil
}

// removeUnfinished takes away a film folder whose making failed, so that the
// same command can be given again. It holds nothing but what Create put there.
func removeUnfinished(dir string) error {
	for _, f := range []string{store.DatabaseFile, store.DatabaseFile + "-wal", store.DatabaseFile + "-shm"} {
		if err := os.Remove(filepath.Join(dir, f)); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	return writeWhole(to, func(out io.Writer) error {
		_, err := io.Copy(out, in)
		return err
	})
}
