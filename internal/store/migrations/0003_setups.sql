-- What else is known of a setup: whether it is the safety, where the camera
-- stands, how large the subject is.
ALTER TABLE setup ADD COLUMN safety INTEGER NOT NULL DEFAULT 0;
ALTER TABLE setup ADD COLUMN angle_deg REAL;
ALTER TABLE setup ADD COLUMN magnify REAL NOT NULL DEFAULT 0;
