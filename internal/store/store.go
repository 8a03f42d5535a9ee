// Package store keeps a film on disk: the film folder and its SQLite database.
// It is the only room with SQL in it.
//
// The folder:
//
//	film.db   the database (WAL)
//	song/     the record
//	cache/    decoded sound and rendered shots; may be deleted at any time
//	out/      the film and its report
//
// Originals are referred to where they lie and never written.
package store

import (
	"context"
	"database/sql"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync/atomic"
	"time"

	_ "modernc.org/sqlite" // the database driver "sqlite"

	"takeweave/internal/film"
)

//go:embed migrations/*.sql
var migrations embed.FS

// DatabaseFile is the name of the database inside a film folder.
const DatabaseFile = "film.db"

// Store is one open film folder. It is safe for use by several goroutines.
type Store struct {
	Dir string           // absolute
	Now func() time.Time // the clock, for tests
	db  *sql.DB

	dataVersion atomic.Int64 // see ChangedElsewhere
}

// Create makes a new film folder at dir, which must not hold a film yet.
func Create(ctx context.Context, dir string) (*Store, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(filepath.Join(dir, DatabaseFile)); err == nil {
		return nil, &film.Error{Code: film.CodeExists, Path: dir, Msg: "already holds a film", Hint: "choose another folder, or go on with: takeweave run " + dir}
	}
	for _, sub := range []string{"", "song", "cache", "out"} {
		if err := os.MkdirAll(filepath.Join(dir, sub), 0o777); err != nil {
			return nil, &film.Error{Code: film.CodeFailed, Path: dir, Msg: "cannot be made", Hint: "choose a folder you may write to", Err: err}
		}
	}
	return open(ctx, dir)
}

// Open opens the film folder at dir.
func Open(ctx context.Context, dir string) (*Store, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(filepath.Join(dir, DatabaseFile)); err != nil {
		return nil, &film.Error{Code: film.CodeNotAFilm, Path: dir, Msg: "holds no film", Hint: "make one with: takeweave new " + dir + " --song RECORD"}
	}
	return open(ctx, dir)
}

func open(ctx context.Context, dir string) (*Store, error) {
	// Pragmas hold per connection, so they belong in the DSN.
	dsn := "file:" + filepath.ToSlash(filepath.Join(dir, DatabaseFile)) +
		"?_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=foreign_keys(1)&_pragma=synchronous(NORMAL)&_txlock=immediate"
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	s := &Store{Dir: dir, Now: time.Now, db: db}
	if err := s.migrate(ctx); err != nil {
		return nil, errors.Join(&film.Error{Code: film.CodeFailed, Path: filepath.Join(dir, DatabaseFile), Msg: "cannot be opened as a film", Hint: "check that the disk is writable and not full; if the file is damaged, keep a copy and make the film anew: the clips are untouched", Err: err}, db.Close())
	}
	return s, nil
}

// Close closes the database.
func (s *Store) Close() error { return s.db.Close() }

func (s *Store) migrate(ctx context.Context) error {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return err
	}
	sort.Strings(names)
	return s.write(ctx, func(tx *sql.Tx) error {
		var done int
		if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&done); err != nil {
			return err
		}
		if done > len(names) {
			return fmt.Errorf("it was written by a newer takeweave (schema %d, this one knows %d)", done, len(names))
		}
		for i := done; i < len(names); i++ {
			body, err := migrations.ReadFile(names[i])
			if err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, string(body)); err != nil {
				return fmt.Errorf("migration %s: %w", names[i], err)
			}
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", len(names)))
		return err
	})
}

func (s *Store) write(ctx context.Context, f func(*sql.Tx) error) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return spaceError(s.Dir, err)
	}
	if err := f(tx); err != nil {
		return errors.Join(spaceError(s.Dir, err), ignoreDone(tx.Rollback()))
	}
	return spaceError(s.Dir, tx.Commit())
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// spaceError turns the database's "disk is full" into the domain's words.
func spaceError(dir string, err error) error {
	if err != nil && strings.Contains(err.Error(), "database or disk is full") {
		return &film.Error{Code: film.CodeNoSpace, Path: dir, Msg: "cannot be written: the disk is full", Hint: "free some space and run the same command again; nothing is lost", Err: err}
	}
	return err
}

// Setting returns a setting of the film, "" when it is not set.
func (s *Store) Setting(ctx context.Context, name string) (string, error) {
	var v string
	err := s.db.QueryRowContext(ctx, "SELECT value FROM setting WHERE name = ?", name).Scan(&v)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return v, err
}

// Set changes a setting of the film; "" removes it.
func (s *Store) Set(ctx context.Context, name, value string) error {
	return s.write(ctx, func(tx *sql.Tx) error {
		if value == "" {
			_, err := tx.ExecContext(ctx, "DELETE FROM setting WHERE name = ?", name)
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO setting(name, value) VALUES(?, ?) ON CONFLICT(name) DO UPDATE SET value = excluded.value", name, value)
		return err
	})
}

// Setups returns all setups by name.
func (s *Store) Setups(ctx context.Context) (map[string]film.Setup, error) {
	rows, err := s.db.QueryContext(ctx, "SELECT name, shows, size, serves, safety, angle_deg, magnify FROM setup")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]film.Setup{}
	for rows.Next() {
		var u film.Setup
		var serves string
		if err := rows.Scan(&u.Name, &u.Shows, &u.Size, &serves, &u.Safety, &u.AngleDeg, &u.Magnify); err != nil {
			return nil, err
		}
		u.Serves = strings.Fields(serves)
		all[u.Name] = u
	}
	return all, rows.Err()
}

// PutSetups adds setups or changes those with the same name.
func (s *Store) PutSetups(ctx context.Context, setups []film.Setup) error {
	return s.write(ctx, func(tx *sql.Tx) error {
		for _, u := range setups {
			if _, err := tx.ExecContext(ctx, `INSERT INTO setup(name, shows, size, serves, safety, angle_deg, magnify) VALUES(?, ?, ?, ?, ?, ?, ?)
				ON CONFLICT(name) DO UPDATE SET shows = excluded.shows, size = excluded.size, serves = excluded.serves,
				safety = excluded.safety, angle_deg = excluded.angle_deg, magnify = excluded.magnify`,
				u.Name, u.Shows, u.Size, strings.Join(u.Serves, " "), u.Safety, u.AngleDeg, u.Magnify); err != nil {
				return err
			}
		}
		return nil
	})
}

// SeenClip is a clip with what tells a changed file from an unchanged one.
type SeenClip struct {
	film.Clip
	ModifiedNS int64
	Present    bool
}

// Clips returns the clips that were there at the last look, by file name.
func (s *Store) Clips(ctx context.Context) ([]film.Clip, error) {
	seen, err := s.AllClips(ctx)
	if err != nil {
		return nil, err
	}
	var clips []film.Clip
	for _, c := range seen {
		if c.Present {
			clips = append(clips, c.Clip)
		}
	}
	return clips, nil
}

// AllClips returns every clip ever seen, by file name.
func (s *Store) AllClips(ctx context.Context) ([]SeenClip, error) {
	rows, err := s.db.QueryContext(ctx, "SELECT id, mtime_ns, present, body FROM clip")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var clips []SeenClip
	for rows.Next() {
		var c SeenClip
		var body string
		if err := rows.Scan(&c.ID, &c.ModifiedNS, &c.Present, &body); err != nil {
			return nil, err
		}
		id := c.ID
		if err := json.Unmarshal([]byte(body), &c.Clip); err != nil {
			return nil, err
		}
		c.ID = id
		clips = append(clips, c)
	}
	sort.Slice(clips, func(i, j int) bool {
		if clips[i].File != clips[j].File {
			return clips[i].File < clips[j].File
		}
		return clips[i].Path < clips[j].Path
	})
	return clips, rows.Err()
}

// PutClips writes the clips of one look at the card: those given are present
// (matched by path, keeping their id), all others are not.
func (s *Store) PutClips(ctx context.Context, clips []SeenClip) error {
	return s.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "UPDATE clip SET present = 0"); err != nil {
			return err
		}
		for _, c := range clips {
			body, err := json.Marshal(c.Clip)
			if err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, `INSERT INTO clip(path, bytes, mtime_ns, present, body) VALUES(?, ?, ?, 1, ?)
				ON CONFLICT(path) DO UPDATE SET bytes = excluded.bytes, mtime_ns = excluded.mtime_ns, present = 1, body = excluded.body`,
				c.Path, c.Bytes, c.ModifiedNS, string(body)); err != nil {
				return err
			}
		}
		return nil
	})
}

// Result reads the stored result of a step for a subject into v and returns
// the key it was stored under; "" when there is none.
func (s *Store) Result(ctx context.Context, step, subject string, v any) (key string, err error) {
	var body string
	err = s.db.QueryRowContext(ctx, "SELECT key, body FROM result WHERE step = ? AND subject = ?", step, subject).Scan(&key, &body)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	return key, json.Unmarshal([]byte(body), v)
}

// PutResult stores the result of a step for a subject under its key.
func (s *Store) PutResult(ctx context.Context, step, subject, key string, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return s.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO result(step, subject, key, body, made_utc) VALUES(?, ?, ?, ?, ?)
			ON CONFLICT(step, subject) DO UPDATE SET key = excluded.key, body = excluded.body, made_utc = excluded.made_utc`,
			step, subject, key, string(body), s.Now().UTC().Format(time.RFC3339))
		return err
	})
}
