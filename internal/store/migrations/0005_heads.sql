-- The newest signed head of each station's chain in each site's log, with the
-- key that signed it. None of it can be rebuilt from the pages.
CREATE TABLE head (
	site    TEXT   NOT NULL REFERENCES site (id),
	station TEXT   NOT NULL,
	public  TEXT   NOT NULL, -- the key, base64url; the first one seen
	secret  TEXT   NOT NULL, -- its secret half; empty: another book holds it
	seq     BIGINT NOT NULL,
	hash    TEXT   NOT NULL,
	sig     TEXT   NOT NULL,
	PRIMARY KEY (site, station)
);

-- Lines that stood in this book before anything was signed that covers them: those
-- written before books had keys, and those that came in beyond a head. A line that
-- neither a head nor a stretch of these covers was not written by the program.
CREATE TABLE unsigned (
	site    TEXT   NOT NULL REFERENCES site (id),
	station TEXT   NOT NULL,
	first   BIGINT NOT NULL,
	last    BIGINT NOT NULL,
	PRIMARY KEY (site, station, first)
);

INSERT INTO unsigned (site, station, first, last) SELECT site, station, MIN(first), MAX(last) FROM page GROUP BY site, station;
