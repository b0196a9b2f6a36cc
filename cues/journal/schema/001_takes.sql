-- Takes, and what the lamps had at the moments of each.
CREATE TABLE takes (
	id       INTEGER PRIMARY KEY,
	scene    TEXT NOT NULL,
	slate    TEXT NOT NULL,
	number   INTEGER NOT NULL CHECK (number > 0),
	location TEXT NOT NULL,
	setup    TEXT NOT NULL,
	clip     TEXT NOT NULL,
	rolled   INTEGER NOT NULL,  -- nanoseconds since 1970, UTC
	cut      INTEGER,           -- null while it rolls
	broken   INTEGER NOT NULL DEFAULT 0,
	note     TEXT NOT NULL,
	circled  INTEGER NOT NULL DEFAULT 0,
	head     TEXT NOT NULL,     -- JSON: what nobody searches for
	UNIQUE (scene, slate, number)
) STRICT;
CREATE INDEX takes_by_time ON takes (rolled, id);
CREATE INDEX takes_by_place ON takes (location, rolled);

-- Looks that came on in a take, in their order.
CREATE TABLE looks (
	look TEXT NOT NULL,
	take INTEGER NOT NULL REFERENCES takes (id) ON DELETE CASCADE,
	n    INTEGER NOT NULL,
	PRIMARY KEY (look, take)
) STRICT, WITHOUT ROWID;
CREATE INDEX looks_of_take ON looks (take, n);

-- Lamps as they were addressed, each list once: takes of one night share one.
CREATE TABLE rigs (
	id     INTEGER PRIMARY KEY,
	digest BLOB NOT NULL UNIQUE,  -- SHA-256 of lamps
	lamps  TEXT NOT NULL          -- JSON: kit, rig, type, mode, address, print, bytes and cells as counts
) STRICT;

CREATE TABLE events (
	take  INTEGER NOT NULL REFERENCES takes (id) ON DELETE CASCADE,
	n     INTEGER NOT NULL,
	at    INTEGER NOT NULL,
	kind  TEXT NOT NULL,
	rig   INTEGER NOT NULL REFERENCES rigs (id),
	head  TEXT NOT NULL,          -- JSON: look, cue, fade, overall, time code
	bytes BLOB NOT NULL,          -- of all lamps, one after another
	light BLOB NOT NULL,          -- of all cells: X, Y, Z as little-endian float32
	PRIMARY KEY (take, n)
) STRICT;
