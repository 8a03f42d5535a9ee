-- What the person decided. A document is one thing decided (a pin, a changed
-- line); a decision is one step that can be undone, in words.
CREATE TABLE document (
    kind TEXT NOT NULL,
    id   TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (kind, id)
) STRICT;

CREATE TABLE decision (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    words    TEXT NOT NULL,
    changes  TEXT NOT NULL, -- JSON: [{kind, id, before, after}]
    undone   INTEGER NOT NULL DEFAULT 0,
    made_utc TEXT NOT NULL
) STRICT;
