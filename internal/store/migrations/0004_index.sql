-- The index: where an entry is, which pages hold a kind, and what lists show of
-- a log. All of it follows from the pages and can be rebuilt from them; this
-- file is run again to drop it, so it only makes what it has dropped.

DROP TABLE IF EXISTS station_log;
DROP TABLE IF EXISTS kind_page;
DROP TABLE IF EXISTS entry_block;
DROP INDEX IF EXISTS site_folded;

-- Rebuilt from the pages: what one station wrote in one site's log.
CREATE TABLE station_log (
	site    TEXT   NOT NULL,
	station TEXT   NOT NULL,
	entries BIGINT NOT NULL,
	last    BIGINT NOT NULL, -- number of its last entry in the station's chain
	hash    TEXT   NOT NULL, -- closes the chain at that entry
	ended   BIGINT NOT NULL, -- when the latest of its entries happened, Unix milliseconds
	PRIMARY KEY (site, station)
);

-- Rebuilt from the pages: which pages hold entries of a kind.
CREATE TABLE kind_page (
	site    TEXT   NOT NULL,
	kind    TEXT   NOT NULL,
	station TEXT   NOT NULL,
	first   BIGINT NOT NULL, -- of the page
	PRIMARY KEY (site, kind, station, first)
);

-- Rebuilt from the pages: where each entry is, by its id. A block is a run of
-- spots of 24 bytes in order; see spot in spot.go.
CREATE TABLE entry_block (
	site  TEXT  NOT NULL,
	first BYTEA NOT NULL, -- its first spot
	spots BYTEA NOT NULL,
	PRIMARY KEY (site, first)
);

CREATE INDEX site_folded ON site (folded);
