package store

import (
	"context"
	"database/sql"
	"encoding/json"
)

// DayEvent is one event of the day's log as a phone sent it.
type DayEvent struct {
	ID   string // never used twice
	Body json.RawMessage
}

// AddDayEvents adds events to the log, all or none, and returns how many were
// new. An event that is there already stays as it is. When this returns, they are
// on the disk.
func (s *Store) AddDayEvents(ctx context.Context, events []DayEvent) (added int, err error) {
	err = s.write(ctx, func(tx *sql.Tx) error {
		added = 0
		for _, e := range events {
			r, err := tx.ExecContext(ctx, "INSERT INTO day_event(id, body) VALUES(?, ?) ON CONFLICT(id) DO NOTHING", e.ID, string(e.Body))
			if err != nil {
				return err
			}
			n, err := r.RowsAffected()
			if err != nil {
				return err
			}
			added += int(n)
		}
		return nil
	})
	if err != nil || added == 0 {
		return added, err
	}
	// What is told to a phone must outlive a flat battery.
	_, err = s.db.ExecContext(ctx, "PRAGMA wal_checkpoint(FULL)")
	return added, err
}

// DayEvents returns the log in the order in which it arrived.
func (s *Store) DayEvents(ctx context.Context) ([]DayEvent, error) {
	rows, err := s.db.QueryContext(ctx, "SELECT id, body FROM day_event ORDER BY place")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []DayEvent
	for rows.Next() {
		var e DayEvent
		var body string
		if err := rows.Scan(&e.ID, &body); err != nil {
			return nil, err
		}
		e.Body = json.RawMessage(body)
		all = append(all, e)
	}
	return all, rows.Err()
}
