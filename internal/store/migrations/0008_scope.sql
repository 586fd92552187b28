-- Which sites a person, a token or an invitation is bound to. Whoever has no line
-- here is bound to none: all sites are theirs. Whoever is bound has the line of the
-- kind bound, and perhaps no other: then no site is.
CREATE TABLE scope (
	holder TEXT NOT NULL, -- person, token or invitation, a colon, and its key
	kind   TEXT NOT NULL, -- bound, site or customer
	value  TEXT NOT NULL, -- the id of the site, or the name of the customer
	PRIMARY KEY (holder, kind, value)
);

-- The one site of a calendar address. An address without a line opens all that its
-- owner may see.
CREATE TABLE phone_site (
	station TEXT NOT NULL PRIMARY KEY,
	site    TEXT NOT NULL
);

-- What lets a program in.
CREATE TABLE token (
	folded TEXT   NOT NULL PRIMARY KEY, -- the name as it is searched
	name   TEXT   NOT NULL,
	role   TEXT   NOT NULL,
	key    TEXT   NOT NULL UNIQUE,      -- a hash of the one that the program holds
	maker  TEXT   NOT NULL,             -- who made it
	mark   TEXT   NOT NULL,             -- the maker's, when it was made
	added  BIGINT NOT NULL,             -- Unix milliseconds
	until  BIGINT NOT NULL
);

-- Who is asked in, and has not come yet.
CREATE TABLE invitation (
	key   TEXT   NOT NULL PRIMARY KEY, -- a hash of the one in the address
	name  TEXT   NOT NULL,
	role  TEXT   NOT NULL,
	maker TEXT   NOT NULL,             -- who asked
	mark  TEXT   NOT NULL,             -- theirs, when they asked
	until BIGINT NOT NULL              -- Unix milliseconds
);

-- Passkeys: the public halves, by which people sign in.
CREATE TABLE passkey (
	id         TEXT   NOT NULL PRIMARY KEY, -- of the credential, base64url
	folded     TEXT   NOT NULL,             -- whose, as the name is searched
	handle     TEXT   NOT NULL,             -- by which the device knows the person, base64url
	host       TEXT   NOT NULL,             -- the name of the server that it is for
	name       TEXT   NOT NULL,             -- of the device, as the person calls it
	credential BYTEA  NOT NULL,             -- public key and counter, as JSON
	added      BIGINT NOT NULL,             -- Unix milliseconds
	used       BIGINT NOT NULL
);

CREATE INDEX passkey_folded ON passkey (folded);
