-- The first schema: settings of the film, the clips seen, the setups, and the
-- results of the steps of the work, each with the key of all that it depends on.

CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;

CREATE TABLE setup (
  name   TEXT PRIMARY KEY,
  shows  TEXT NOT NULL DEFAULT '',
  size   TEXT NOT NULL DEFAULT '',
  serves TEXT NOT NULL DEFAULT ''      -- section letters or names, separated by spaces
) STRICT;

CREATE TABLE clip (
  id       INTEGER PRIMARY KEY,
  path     TEXT NOT NULL UNIQUE,       -- absolute; the original is never written
  bytes    INTEGER NOT NULL,
  mtime_ns INTEGER NOT NULL,
  present  INTEGER NOT NULL,           -- 1 when it was there at the last look
  body     TEXT NOT NULL               -- film.Clip as JSON
) STRICT;

CREATE TABLE result (
  step     TEXT NOT NULL,
  subject  TEXT NOT NULL,              -- a clip id, or '' for the whole film
  key      TEXT NOT NULL,              -- hash of everything the result depends on
  body     TEXT NOT NULL,              -- JSON
  made_utc TEXT NOT NULL,
  PRIMARY KEY (step, subject)
) STRICT;
