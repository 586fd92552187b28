package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"strings"
)

// check compares the tables with those of a new book, which it makes in a schema of another
// name and takes back. Whether the server's files are sound it cannot see: with data
// checksums the server tells as pages are read, and the comparison with the index, which comes
// after, reads most of them.
func (d *inDatabase) check(ctx context.Context) error {
	tx, err := d.pen.BeginTx(ctx, nil)
	if err != nil {
		return translate(d.name, "read", err)
	}
	defer rollback(tx) //nolint:errcheck // nothing of it is to stay
	got, err := tablesOf(ctx, tx, d.schema)
	if err != nil {
		return translate(d.name, "read", err)
	}
	fresh := "sootline_check_" + strings.ToLower(rand.Text()[:12])
	if err := d.makeIn(ctx, tx, fresh); err != nil {
		return translate(d.name, "make tables to compare with beside", err)
	}
	want, err := tablesOf(ctx, tx, fresh)
	if err != nil {
		return translate(d.name, "read", err)
	}
	if got != want {
		return damaged(d.name, errors.New("its tables are not as they were made"))
	}
	return nil
}

// makeIn makes the tables of a new book in a schema.
func (d *inDatabase) makeIn(ctx context.Context, tx *sql.Tx, schema string) error {
	if _, err := tx.ExecContext(ctx, "CREATE SCHEMA "+schema+"; SET LOCAL search_path = "+schema+"; SET LOCAL client_min_messages = error;"+own); err != nil {
		return err
	}
	for _, name := range migrationNames() {
		text, err := migrations.ReadFile(name)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, d.text(string(text))); err != nil {
			return fmt.Errorf("migration %s: %w", name, err)
		}
	}
	return nil
}

// tablesOf tells all that the catalog says of the tables of a schema: columns, indexes and
// constraints.
func tablesOf(ctx context.Context, q querier, schema string) (text string, err error) {
	err = q.QueryRowContext(ctx, `
		SELECT COALESCE(string_agg(replace(said, $1 || '.', ''), ';' ORDER BY replace(said, $1 || '.', '') COLLATE "C"), '') FROM (
			SELECT concat_ws(' ', relname, relkind, attname, format_type(atttypid, atttypmod), attcollation, attnotnull, pg_get_expr(adbin, adrelid)) AS said
			FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid LEFT JOIN pg_attrdef ON adrelid = attrelid AND adnum = attnum
			WHERE relnamespace = to_regnamespace($1) AND relkind IN ('r', 'v', 'm', 'p') AND attnum > 0 AND NOT attisdropped
			UNION ALL
			SELECT indexdef FROM pg_indexes WHERE schemaname = $1
			UNION ALL
			SELECT conname || ' ' || pg_get_constraintdef(oid) FROM pg_constraint WHERE connamespace = to_regnamespace($1)
			UNION ALL
			SELECT tgname || ' ' || pg_get_triggerdef(pg_trigger.oid) FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid
			WHERE relnamespace = to_regnamespace($1) AND NOT tgisinternal) AS catalog`, schema).Scan(&text)
	return text, err
}
