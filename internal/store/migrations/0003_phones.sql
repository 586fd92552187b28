-- Phones that are stations, addresses for calendars, and the pictures that
-- entries name.
CREATE TABLE phone (
	station TEXT   NOT NULL PRIMARY KEY, -- the name by which its entries go
	name    TEXT   NOT NULL,
	person  TEXT   NOT NULL,             -- whose it is
	purpose TEXT   NOT NULL,             -- phone, or calendar
	key     TEXT   NOT NULL UNIQUE,      -- a hash of the one that the phone holds
	added   BIGINT NOT NULL              -- Unix milliseconds
);

CREATE TABLE photo (
	hash    TEXT  NOT NULL PRIMARY KEY, -- SHA-256 of the content
	content BYTEA NOT NULL
);
