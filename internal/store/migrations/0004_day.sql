-- The log of the day as the phones sent it. Events are added, never changed or
-- taken out: what a person takes back is an event of its own.
CREATE TABLE day_event (
    place INTEGER PRIMARY KEY AUTOINCREMENT, -- in the order of arrival
    id    TEXT NOT NULL UNIQUE,              -- made by the phone
    body  TEXT NOT NULL                      -- JSON
) STRICT;
