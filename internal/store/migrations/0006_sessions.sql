-- Who is signed in, and where; and what was done with people, their phones and
-- their ways in.

-- A mark of chance that changes with the password, the role, and when all is
-- signed out. What was given out under another mark opens nothing. Whoever was added
-- before there were marks has none, and so have the phones of that time.
CREATE TABLE IF NOT EXISTS person_mark (
	folded TEXT NOT NULL PRIMARY KEY, -- the name as it is searched
	mark   TEXT NOT NULL
);

CREATE TABLE IF NOT EXISTS phone_mark (
	station TEXT NOT NULL PRIMARY KEY,
	mark    TEXT NOT NULL -- the person's, when it was added
);

CREATE TABLE IF NOT EXISTS signed_in (
	id     TEXT   NOT NULL PRIMARY KEY, -- what the session holds
	person TEXT   NOT NULL,             -- the name as it is searched
	mark   TEXT   NOT NULL,             -- the person's when this began
	origin TEXT   NOT NULL,             -- the network address
	device TEXT   NOT NULL,             -- what the browser says of itself
	began  BIGINT NOT NULL,             -- Unix milliseconds
	seen   BIGINT NOT NULL              -- when it last asked for something, about
);

CREATE INDEX IF NOT EXISTS signed_in_person ON signed_in (person);

-- The journal of security events. Lines are only added; each closes over the one
-- before it.
CREATE TABLE IF NOT EXISTS security_event (
	seq    BIGINT NOT NULL PRIMARY KEY, -- from 1
	at     BIGINT NOT NULL,             -- Unix milliseconds
	what   TEXT   NOT NULL,
	actor  TEXT   NOT NULL,             -- who did it; empty: nobody the book knows
	whom   TEXT   NOT NULL,             -- the person, phone or site it was done to
	detail TEXT   NOT NULL,
	origin TEXT   NOT NULL,             -- the network address, or the command line
	hash   TEXT   NOT NULL              -- of the one before it and this one
);

-- Sessions of before do not say whose they are: everybody signs in once more.
DELETE FROM session;

-- The second factor of a person: codes by the time of day (RFC 6238).
CREATE TABLE IF NOT EXISTS person_factor (
	folded TEXT   NOT NULL PRIMARY KEY, -- the name as it is searched
	secret TEXT   NOT NULL,             -- base32
	used   BIGINT NOT NULL              -- the last half minute whose code was used
);
