package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/binary"
	"errors"
	"sync"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"sootline"
)

const (
	// patience is how long a transaction is tried again, as long as a file's writers wait
	// for its pen.
	patience = 30 * time.Second
	// keepKeys is how long the key of a transaction is kept: far longer than it is tried.
	keepKeys = time.Hour
	// sweepOdds is in how many transactions one removes the keys of old ones.
	sweepOdds = 1024
)

// write runs a transaction, and again under the same key where it met another's writing, the
// connection broke, or no standby confirmed it. Whether a commit whose answer was lost was
// done, its key tells: what was done is not done twice.
func (d *inDatabase) write(ctx context.Context, reach reach, do func(*Tx) error) error {
	key, end := rand.Text(), time.Now().Add(patience)
	for wait := 5 * time.Millisecond; ; wait = min(2*wait, time.Second) {
		err := d.attempt(ctx, key, reach, do)
		if err == nil || !isPassing(err) || time.Now().After(end) {
			return err
		}
		select {
		case <-ctx.Done():
			return err
		case <-time.After(wait/2 + time.Duration(chance(uint64(wait)))):
		}
	}
}

// chance gives a number below n by chance.
func chance(n uint64) uint64 {
	var drawn [8]byte
	rand.Read(drawn[:]) // never fails (crypto/rand)
	return binary.BigEndian.Uint64(drawn[:]) % n
}

func (d *inDatabase) attempt(ctx context.Context, key string, reach reach, do func(*Tx) error) (err error) {
	conn, err := d.pen.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close() //nolint:errcheck // it goes back to its pool
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	err = transact(ctx, d.name, tx, d, func(tx *Tx) error {
		if done, err := d.begin(tx, key, reach); err != nil || done {
			return err
		}
		return do(tx)
	})
	if err != nil {
		return err
	}
	return d.commit(conn, tx)
}

// The two ways to begin: the key is noted, and the book is held with the others who write to
// sites, or alone. A key that is there waits for its transaction to end, if it has not.
const (
	noteKey  = `INSERT INTO attempt (key, at) SELECT $1::text, $2::bigint FROM `
	orFindIt = ` ON CONFLICT (key) DO UPDATE SET tries = attempt.tries + 1 RETURNING tries`
	together = noteKey + `pg_advisory_xact_lock_shared($3::bigint)` + orFindIt
	alonely  = noteKey + `pg_advisory_xact_lock($3::bigint)` + orFindIt
)

// begin notes the transaction's key and holds what it writes to; it tells whether an earlier
// try was committed. Then this one only has the standbys confirm what was.
func (d *inDatabase) begin(tx *Tx, key string, reach reach) (done bool, err error) {
	query, tries := together, 0
	if reach.whole {
		query = alonely
	}
	now := time.Now()
	if err := tx.tx.QueryRowContext(tx.ctx, query, key, now.UnixMilli(), d.lock).Scan(&tries); err != nil || tries > 0 {
		return true, err
	}
	if chance(sweepOdds) == 0 {
		if _, err := tx.changed("DELETE FROM attempt WHERE at < $1", now.Add(-keepKeys).UnixMilli()); err != nil {
			return false, err
		}
	}
	if reach.site.Zero() {
		return false, nil
	}
	return false, tx.hold(reach.site)
}

// alone waits until nobody else writes what hangs together under a name.
func (d *inDatabase) alone(tx *Tx, what string) error {
	_, err := tx.tx.ExecContext(tx.ctx, "SELECT pg_advisory_xact_lock($1)", lockOf(d.schema+" "+what))
	return err
}

// errUnconfirmed says that the server keeps a transaction and no standby confirmed it.
var errUnconfirmed = errors.New("no standby confirmed what was written")

// commit ends a transaction. A wait for a standby that somebody cancelled ends with no error
// and a warning: what was written may be lost with the server, and is not acknowledged.
func (d *inDatabase) commit(conn *sql.Conn, tx *sql.Tx) error {
	var of *pgconn.PgConn
	err := conn.Raw(func(driver any) error {
		of = driver.(*stdlib.Conn).Conn().PgConn()
		return nil
	})
	if err != nil {
		return errors.Join(err, rollback(tx))
	}
	d.notices.taken(of) // of what was before
	if err := tx.Commit(); err != nil {
		return err
	}
	if d.notices.taken(of) {
		return errUnconfirmed
	}
	return nil
}

// notices are the connections on which the server warned of a wait that was cancelled.
type notices struct{ of sync.Map }

// note remembers a warning of class 01000. By its code alone and not by its words, which
// the server may give in any language; a commit has no other one (PostgreSQL 15).
func (n *notices) note(conn *pgconn.PgConn, notice *pgconn.Notice) {
	if notice.Code == "01000" && notice.SeverityUnlocalized == "WARNING" {
		n.of.Store(conn, true)
	}
}

// taken tells whether there was a warning, and forgets it.
func (n *notices) taken(conn *pgconn.PgConn) bool {
	_, warned := n.of.LoadAndDelete(conn)
	return warned
}

// tryWriting commits a row that says nothing. Where a standby must confirm and does not, it
// is told of.
func (d *inDatabase) tryWriting(ctx context.Context) error {
	const most = 5 * time.Second
	ctx, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	conn, err := d.reader.Conn(ctx)
	if err != nil {
		return translate(d.name, "write to", err)
	}
	defer conn.Close() //nolint:errcheck // it goes back to its pool
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return translate(d.name, "write to", err)
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO attempt (key, at) VALUES ('trial', $1) ON CONFLICT (key) DO UPDATE SET at = excluded.at", time.Now().UnixMilli()); err != nil {
		return errors.Join(translate(d.name, "write to", err), rollback(tx))
	}
	err = d.commit(conn, tx)
	if ctx.Err() != nil {
		return sootline.Errorf(sootline.Unavailable, "look at the server and its standbys", "the database of book %s did not commit within %v", d.name, most)
	}
	return translate(d.name, "write to", err)
}
