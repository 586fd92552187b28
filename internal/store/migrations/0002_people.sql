-- Who may sign in to the web application, and who is signed in.
CREATE TABLE person (
	folded   TEXT   NOT NULL PRIMARY KEY, -- the name as it is searched
	name     TEXT   NOT NULL,
	role     TEXT   NOT NULL,
	password TEXT   NOT NULL,             -- argon2id, in the PHC string format
	added    BIGINT NOT NULL              -- Unix milliseconds
);

CREATE TABLE session (
	token  TEXT   NOT NULL PRIMARY KEY, -- a hash of the one that the browser holds
	data   BYTEA  NOT NULL,
	expiry BIGINT NOT NULL              -- Unix milliseconds
);
