-- One SQL text for SQLite and PostgreSQL.
--
-- A page holds consecutive entries of one station in one site's log, as the
-- lines of the export format, compressed. The log is what is in the pages;
-- the other columns say what a page holds, so that it need not be opened.
CREATE TABLE site (
	id     TEXT NOT NULL PRIMARY KEY,
	name   TEXT NOT NULL,
	folded TEXT NOT NULL
);

CREATE TABLE page (
	site    TEXT   NOT NULL REFERENCES site (id),
	station TEXT   NOT NULL,
	first   BIGINT NOT NULL, -- number of its first entry in the station's chain
	last    BIGINT NOT NULL,
	hash    TEXT   NOT NULL, -- closes the chain at its last entry
	began   BIGINT NOT NULL, -- when the earliest of its entries happened, Unix milliseconds
	ended   BIGINT NOT NULL,
	lines   BYTEA  NOT NULL,
	PRIMARY KEY (site, station, first)
);
