-- Pictures of a take, and how much of it could not be written down.
CREATE TABLE photos (
	take   INTEGER NOT NULL REFERENCES takes (id) ON DELETE CASCADE,
	n      INTEGER NOT NULL,
	taken  INTEGER NOT NULL,
	width  INTEGER NOT NULL,
	height INTEGER NOT NULL,
	jpeg   BLOB NOT NULL,
	PRIMARY KEY (take, n)
) STRICT;
ALTER TABLE takes ADD COLUMN lost INTEGER NOT NULL DEFAULT 0;
