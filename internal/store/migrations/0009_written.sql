-- How often somebody wrote to a site's log. A transaction that writes to it begins with
-- this row, so that nobody else does meanwhile.
ALTER TABLE site ADD COLUMN written BIGINT NOT NULL DEFAULT 0;
