package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// Change is one document of a decision: as it was and as it became. A nil Before
// means that it was not there, a nil After that it is gone.
type Change struct {
	Kind   string          `json:"kind"`
	ID     string          `json:"id"`
	Before json.RawMessage `json:"before,omitempty"`
	After  json.RawMessage `json:"after,omitempty"`
}

// Put is the change that makes a document v; it fails only when v cannot be
// written as JSON.
func Put(kind, id string, v any) (Change, error) {
	body, err := json.Marshal(v)
	return Change{Kind: kind, ID: id, After: body}, err
}

// Drop is the change that takes a document away.
func Drop(kind, id string) Change { return Change{Kind: kind, ID: id} }

// Decision is one step that the person took, in words.
type Decision struct {
	ID     int64     `json:"id"`
	Words  string    `json:"words"`
	Undone bool      `json:"undone"`
	Made   time.Time `json:"made"`
}

// Documents returns all documents of a kind by their id.
func (s *Store) Documents(ctx context.Context, kind string) (map[string]json.RawMessage, error) {
	rows, err := s.db.QueryContext(ctx, "SELECT id, body FROM document WHERE kind = ?", kind)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]json.RawMessage{}
	for rows.Next() {
		var id, body string
		if err := rows.Scan(&id, &body); err != nil {
			return nil, err
		}
		all[id] = json.RawMessage(body)
	}
	return all, rows.Err()
}

// Decide makes the changes as one decision. Their Before is filled in here.
// Decisions that were undone can no longer be redone.
func (s *Store) Decide(ctx context.Context, words string, changes ...Change) (Decision, error) {
	var d Decision
	err := s.write(ctx, func(tx *sql.Tx) error {
		for i := range changes {
			var body string
			err := tx.QueryRowContext(ctx, "SELECT body FROM document WHERE kind = ? AND id = ?", changes[i].Kind, changes[i].ID).Scan(&body)
			switch {
			case errors.Is(err, sql.ErrNoRows):
				changes[i].Before = nil
			case err != nil:
				return err
			default:
				changes[i].Before = json.RawMessage(body)
			}
			if err := putDocument(ctx, tx, changes[i].Kind, changes[i].ID, changes[i].After); err != nil {
				return err
			}
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM decision WHERE undone = 1"); err != nil {
			return err
		}
		body, err := json.Marshal(changes)
		if err != nil {
			return err
		}
		made := s.Now().UTC().Truncate(time.Second)
		r, err := tx.ExecContext(ctx, "INSERT INTO decision(words, changes, made_utc) VALUES(?, ?, ?)", words, string(body), made.Format(time.RFC3339))
		if err != nil {
			return err
		}
		id, err := r.LastInsertId()
		d = Decision{ID: id, Words: words, Made: made}
		return err
	})
	return d, err
}

// Undo takes the latest decision back and returns it; ok is false when there is
// none.
func (s *Store) Undo(ctx context.Context) (d Decision, ok bool, err error) {
	return s.step(ctx, "SELECT id, words, changes, made_utc FROM decision WHERE undone = 0 ORDER BY id DESC LIMIT 1", true)
}

// Redo makes the decision that was undone last again; ok is false when there is
// none.
func (s *Store) Redo(ctx context.Context) (d Decision, ok bool, err error) {
	return s.step(ctx, "SELECT id, words, changes, made_utc FROM decision WHERE undone = 1 ORDER BY id LIMIT 1", false)
}

// step undoes or redoes the decision that query finds.
func (s *Store) step(ctx context.Context, query string, undo bool) (d Decision, ok bool, err error) {
	err = s.write(ctx, func(tx *sql.Tx) error {
		var body, made string
		err := tx.QueryRowContext(ctx, query).Scan(&d.ID, &d.Words, &body, &made)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		ok = true
		d.Undone = undo
		if d.Made, err = time.Parse(time.RFC3339, made); err != nil {
			return err
		}
		var changes []Change
		if err := json.Unmarshal([]byte(body), &changes); err != nil {
			return fmt.Errorf("decision %d: %w", d.ID, err)
		}
		for i := range changes {
			c, to := changes[i], changes[i].After
			if undo { // the last change first: two may touch one document
				c = changes[len(changes)-1-i]
				to = c.Before
			}
			if err := putDocument(ctx, tx, c.Kind, c.ID, to); err != nil {
				return err
			}
		}
		_, err = tx.ExecContext(ctx, "UPDATE decision SET undone = ? WHERE id = ?", undo, d.ID)
		return err
	})
	return d, ok, err
}

func putDocument(ctx context.Context, tx *sql.Tx, kind, id string, body json.RawMessage) error {
	if body == nil {
		_, err := tx.ExecContext(ctx, "DELETE FROM document WHERE kind = ? AND id = ?", kind, id)
		return err
	}
	_, err := tx.ExecContext(ctx, "INSERT INTO document(kind, id, body) VALUES(?, ?, ?) ON CONFLICT(kind, id) DO UPDATE SET body = excluded.body", kind, id, string(body))
	return err
}

// Decisions returns what was decided, the first first, undone ones included.
func (s *Store) Decisions(ctx context.Context) ([]Decision, error) {
	rows, err := s.db.QueryContext(ctx, "SELECT id, words, undone, made_utc FROM decision ORDER BY id")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []Decision
	for rows.Next() {
		var d Decision
		var made string
		if err := rows.Scan(&d.ID, &d.Words, &d.Undone, &made); err != nil {
			return nil, err
		}
		if d.Made, err = time.Parse(time.RFC3339, made); err != nil {
			return nil, err
		}
		all = append(all, d)
	}
	return all, rows.Err()
}
