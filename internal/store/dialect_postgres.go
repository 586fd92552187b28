package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"net"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"

	"sootline"
)

// A book in a schema of a database of PostgreSQL's. See also postgres_write.go,
// postgres_check.go and postgres_errors.go.

// inDatabase is what is done where a book lies in a database of PostgreSQL's.
type inDatabase struct {
	name        string // in messages
	schema      string
	lock        int64 // the advisory lock of the book, in its database
	pen, reader *sql.DB
	notices     notices
}

const (
	// usualSchema is where a book lies whose address names no other.
	usualSchema = "sootline"
	// mostPens and mostReaders are how many connections a program has at most: four programs
	// leave room within the hundred that a server takes unless it is told otherwise.
	mostPens    = 12
	mostReaders = 8
	// mostConnecting is how long a connection may take to be made.
	mostConnecting = 10 * time.Second
)

// schemaName is what a schema may be called here: what needs no quotes.
var schemaName = regexp.MustCompile(`^[a-z_][a-z0-9_]{0,62}$`)

// openPostgres opens the book at the address, or makes its schema.
func openPostgres(ctx context.Context, address string, create bool) (at opened, err error) {
	config, schema, err := postgresConfig(address)
	if err != nil {
		return at, err
	}
	d := &inDatabase{name: postgresName(address), schema: schema, lock: lockOf(schema)}
	config.OnNotice = d.notices.note
	d.pen, d.reader = connectPostgres(config, mostPens), connectPostgres(config, mostReaders)
	if err := d.make(ctx, create); err != nil {
		d.pen.Close()    //nolint:errcheck // nothing was done by it
		d.reader.Close() //nolint:errcheck // likewise
		return at, translate(d.name, "open", err)
	}
	return opened{d.name, d.pen, d.reader, d}, nil
}

// postgresConfig reads an address. What waits for a context is left as pgx has it: an
// answer that a deadline broke off is an error. Its other way, which has the server cancel the
// statement, can take a commit for done that no standby confirmed.
func postgresConfig(address string) (config *pgx.ConnConfig, schema string, err error) {
	if config, err = pgx.ParseConfig(address); err != nil {
		return nil, "", sootline.Errorf(sootline.Invalid, "as in postgres://USER@HOST:5432/DATABASE?search_path=SCHEMA", "the book's address cannot be read: %w", err).Do(sootline.Give, "book")
	}
	if schema = config.RuntimeParams["search_path"]; schema == "" {
		schema = usualSchema
	}
	if !schemaName.MatchString(schema) {
		return nil, "", sootline.Errorf(sootline.Invalid, "one schema of small letters, digits and _, as in search_path=works", "search_path=%s names no schema for a book", schema).Do(sootline.Give, "book")
	}
	config.RuntimeParams["search_path"] = schema
	config.RuntimeParams["synchronous_commit"] = "on" // an acknowledged write is on the disk, and on a standby where there must be one
	if config.RuntimeParams["application_name"] == "" {
		config.RuntimeParams["application_name"] = "sootline"
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = mostConnecting
	}
	return config, schema, nil
}

func connectPostgres(config *pgx.ConnConfig, most int) *sql.DB {
	db := stdlib.OpenDB(*config)
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	db.SetConnMaxIdleTime(5 * time.Minute)
	return db
}

// postgresName gives an address without its password and settings: where it is let in without
// one, it opens the book.
func postgresName(address string) string {
	config, err := pgx.ParseConfig(address)
	if err != nil {
		return "postgres://…"
	}
	at, query := url.URL{Scheme: "postgres", User: url.User(config.User), Path: "/" + config.Database}, url.Values{}
	if strings.HasPrefix(config.Host, "/") { // the folder of a socket
		query.Set("host", config.Host)
		query.Set("port", strconv.Itoa(int(config.Port)))
	} else {
		at.Host = net.JoinHostPort(config.Host, strconv.Itoa(int(config.Port)))
	}
	if schema := config.RuntimeParams["search_path"]; schema != "" && schema != usualSchema {
		query.Set("search_path", schema)
	}
	at.RawQuery = strings.ReplaceAll(query.Encode(), "%2F", "/")
	return at.String()
}

// lockOf gives the number of the advisory lock of a schema's book.
func lockOf(schema string) int64 {
	sum := sha256.Sum256([]byte("the book in " + schema))
	return int64(binary.BigEndian.Uint64(sum[:8])) //nolint:gosec // any number will do
}

// own makes what a book has on PostgreSQL alone: its version and place, where a file's head
// tells them, and the keys of transactions, by which one that is tried again finds that it
// was done.
const own = `
	CREATE TABLE book (version BIGINT NOT NULL, place TEXT NOT NULL);
	INSERT INTO book (version, place) VALUES (0, '');
	CREATE TABLE attempt (key TEXT NOT NULL PRIMARY KEY, at BIGINT NOT NULL, tries BIGINT NOT NULL DEFAULT 0);`

// make makes the book's schema where there is none.
func (d *inDatabase) make(ctx context.Context, create bool) error {
	there, err := d.isThere(ctx, d.reader)
	if err != nil || there {
		return err
	}
	if !create {
		return sootline.Errorf(sootline.NotFound, "make one", "there is no book at %s", d.name).Do(sootline.AddSite).Or("or see an invented one").Do(sootline.MakeDemo)
	}
	tx, err := d.pen.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer rollback(tx) //nolint:errcheck // it is done, or the error says why not
	if _, err := tx.ExecContext(ctx, "SELECT pg_advisory_xact_lock($1)", d.lock); err != nil {
		return err
	}
	if there, err := d.isThere(ctx, tx); err != nil || there {
		return err // another program came first
	}
	var tables int
	if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM pg_class WHERE relnamespace = to_regnamespace($1)", d.schema).Scan(&tables); err != nil {
		return err
	}
	if tables > 0 {
		return sootline.Errorf(sootline.Invalid, "name a schema of its own with ?search_path=SCHEMA", "schema %s of %s holds other tables, and no book", d.schema, d.name)
	}
	if _, err := tx.ExecContext(ctx, "CREATE SCHEMA IF NOT EXISTS "+d.schema+";"+own); err != nil {
		return err
	}
	return tx.Commit()
}

func (d *inDatabase) isThere(ctx context.Context, q querier) (there bool, err error) {
	err = q.QueryRowContext(ctx, "SELECT to_regclass($1) IS NOT NULL", d.schema+".book").Scan(&there)
	return there, err
}

func (d *inDatabase) close() error { return nil }

// still is for the database to say, which refuses what it cannot keep.
func (d *inDatabase) still() error { return nil }

// text has names compared byte by byte, as SQLite does, whatever the database's own order
// is: what is listed comes in the same order from both.
func (d *inDatabase) text(migration string) string {
	return strings.ReplaceAll(migration, "TEXT", `TEXT COLLATE "C"`)
}

func (d *inDatabase) snapshot() *sql.TxOptions {
	return &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelRepeatableRead}
}

func (d *inDatabase) version(ctx context.Context, q querier) (version int, err error) {
	err = q.QueryRowContext(ctx, "SELECT version FROM book").Scan(&version)
	return version, err
}

func (d *inDatabase) setVersion(tx *Tx, version int) error {
	_, err := tx.changed("UPDATE book SET version = $1", version)
	return err
}

// mustBeEmpty was asked when the schema was made.
func (d *inDatabase) mustBeEmpty(*Tx) error { return nil }

// place tells the cluster, the database and the schema apart from others, also from those
// that a dump was put back into.
const place = `
	SELECT system_identifier::text || '/' || (SELECT oid FROM pg_database WHERE datname = current_database())::text || '/' || to_regnamespace($1)::oid::text
	FROM pg_control_system()`

// settled notes where the book lies. One that lies elsewhere than when it was last opened
// was put back there by the database's own means: it goes on in a new era, and nobody
// stays signed in.
func (d *inDatabase) settled(ctx context.Context) error {
	var here, noted string
	if err := d.reader.QueryRowContext(ctx, place, d.schema).Scan(&here); err != nil {
		return err
	}
	if err := d.reader.QueryRowContext(ctx, "SELECT place FROM book").Scan(&noted); err != nil || noted == here {
		return err
	}
	return d.write(ctx, reach{whole: true}, func(tx *Tx) error {
		moved, err := tx.changed("UPDATE book SET place = $1 WHERE place <> $1", here)
		if err != nil || !moved || noted == "" {
			return err
		}
		if err := tx.signAllOut(); err != nil {
			return err
		}
		return tx.beginEra(time.Now())
	})
}

func (d *inDatabase) backup(context.Context, string) error { return noCopy(d.name) }

func noCopy(name string) error {
	return sootline.Errorf(sootline.Invalid, "copy the database by its own means (pg_dump, pg_basebackup); `log export` copies the log of one site",
		"a backup is a copy of a file, and book %s lies in a database", name)
}
