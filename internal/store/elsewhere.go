package store

import "context"

// ChangedElsewhere reports whether another program wrote to the film since this
// was last asked; the first answer is false.
func (s *Store) ChangedElsewhere(ctx context.Context) (bool, error) {
	var version int64
	// SQLite raises it when another connection commits, never for our own.
	if err := s.db.QueryRowContext(ctx, "PRAGMA data_version").Scan(&version); err != nil {
		return false, err
	}
	before := s.dataVersion.Swap(version)
	return before != 0 && before != version, nil
}
