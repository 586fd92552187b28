-- One row a site: how much its log holds, and what lists of many sites show of it. The
-- first is written with the entries; the rest is made of the log by whoever finds it
-- behind. All of it can be made anew from the logs.
CREATE TABLE site_head (
	site     TEXT   NOT NULL PRIMARY KEY REFERENCES site (id),
	folded   TEXT   NOT NULL,           -- the name as it is searched
	entries  BIGINT NOT NULL DEFAULT 0, -- of its log
	stations BIGINT NOT NULL DEFAULT 0, -- that wrote in it
	ended    BIGINT,                    -- when the latest of its entries happened, Unix milliseconds

	held     BIGINT NOT NULL DEFAULT -1, -- how many entries all below was made of; -1: it was never made
	made     BIGINT NOT NULL DEFAULT 0,  -- when, Unix milliseconds
	until    BIGINT NOT NULL DEFAULT 0,  -- when something changes without an entry, Unix milliseconds
	claimed  BIGINT NOT NULL DEFAULT 0,  -- until when a program may be making it, Unix milliseconds

	stake    BIGINT NOT NULL DEFAULT -1, -- what is at stake, the most first
	needs    BIGINT NOT NULL DEFAULT 0,  -- 1: something needs somebody now
	troubled BIGINT NOT NULL DEFAULT 0,  -- 1: the site cannot be shown
	customer TEXT   NOT NULL DEFAULT '', -- as it is searched
	noted    BIGINT NOT NULL DEFAULT 0,  -- when its latest entry was written down, Unix milliseconds
	turn     BIGINT NOT NULL DEFAULT 0,  -- the next due day, where there is none a large number

	points      BIGINT NOT NULL DEFAULT 0,
	overdue     BIGINT NOT NULL DEFAULT 0,
	due         BIGINT NOT NULL DEFAULT 0,
	met         BIGINT NOT NULL DEFAULT 0,
	next_due    BIGINT NOT NULL DEFAULT 0, -- a day, counted from 1970; 0: nothing has one
	clean_now   BIGINT NOT NULL DEFAULT 0,
	replacing   BIGINT NOT NULL DEFAULT 0, -- points to be replaced now
	later       BIGINT NOT NULL DEFAULT 0, -- to be seen to at the next visit
	inside      BIGINT NOT NULL DEFAULT 0, -- of those with a verdict
	with_verdict BIGINT NOT NULL DEFAULT 0,
	defects     BIGINT NOT NULL DEFAULT 0, -- open
	critical    BIGINT NOT NULL DEFAULT 0, -- of these
	mended      BIGINT NOT NULL DEFAULT 0, -- that wait for their retest
	disabled    BIGINT NOT NULL DEFAULT 0, -- points
	serious     BIGINT NOT NULL DEFAULT 0, -- findings of the register
	questions   BIGINT NOT NULL DEFAULT 0,
	last_visit  BIGINT NOT NULL DEFAULT 0  -- the day on which the last closed one ended
);

-- Lists are read in these orders. The partial ones find what is behind, or needs somebody,
-- among many that are not.
CREATE INDEX site_head_stake ON site_head (stake DESC, folded, site);
CREATE INDEX site_head_turn ON site_head (turn, folded, site);
CREATE INDEX site_head_customer ON site_head (customer, stake DESC, folded, site);
CREATE INDEX site_head_until ON site_head (until);
CREATE INDEX site_head_noted ON site_head (noted);
CREATE INDEX site_head_needs ON site_head (stake DESC, folded, site) WHERE needs = 1;
CREATE INDEX site_head_troubled ON site_head (site) WHERE troubled = 1;
CREATE INDEX site_head_behind ON site_head (site) WHERE held <> entries;

INSERT INTO site_head (site, folded, entries, stations, ended)
	SELECT site.id, site.folded, COALESCE(SUM(station_log.entries), 0), COUNT(station_log.station), MAX(station_log.ended)
	FROM site LEFT JOIN station_log ON station_log.site = site.id GROUP BY site.id, site.folded;

-- What belongs to a head and is read of a few sites at a time, apart, so that rows which
-- are counted stay small.
CREATE TABLE site_said (
	site TEXT  NOT NULL PRIMARY KEY REFERENCES site (id),
	said TEXT  NOT NULL, -- what else lists show, as JSON
	days BYTEA NOT NULL  -- what is due by day and rule, for calendars, as JSON, compressed
);
