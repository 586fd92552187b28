-- A book that was put back from a backup goes on in a new era: from then on its
-- stations write under new names, so that no line gets the number of one that the
-- old book wrote after the backup was made.
CREATE TABLE era (
	began BIGINT NOT NULL PRIMARY KEY, -- Unix milliseconds
	name  TEXT   NOT NULL              -- by chance, so that no two books go on alike
);
