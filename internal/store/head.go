package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"

	"sootline"
)

// Signed is the newest signed head of a station's chain that the book keeps.
type Signed struct {
	sootline.SignedHead
	Here bool // the book holds the secret half of its key
}

// Stretch is a run of lines of a station's chain.
type Stretch struct {
	Station     string
	First, Last int64
}

// Kept is what a book keeps beside the lines of a site's log.
type Kept struct {
	Heads    []Signed  // by station
	Unsigned []Stretch // by station and number
}

// Whole gives every line of a site's log, as [Store.Lines] does, and what is kept
// beside them, all as of one instant.
func (s *Store) Whole(ctx context.Context, site sootline.ID, each func(Line) error) (kept Kept, err error) {
	tx, err := s.read.BeginTx(ctx, s.snapshot())
	if err != nil {
		return kept, translate(s.path, "read", err)
	}
	defer func() { err = errors.Join(err, rollback(tx)) }() // it has only read
	if kept, err = readKept(ctx, tx, s.path, site); err != nil {
		return kept, translate(s.path, "read", err)
	}
	for line, err := range (view{ctx, tx, s.path}).lines(site) {
		if err != nil {
			return kept, err
		}
		if err := each(line); err != nil {
			return kept, err
		}
	}
	return kept, nil
}

// KeptOf gives what the book keeps beside a site's lines.
func (s *Store) KeptOf(ctx context.Context, site sootline.ID) (Kept, error) {
	kept, err := readKept(ctx, s.read, s.path, site)
	return kept, translate(s.path, "read", err)
}

// Kept gives what the book keeps beside a site's lines, as the transaction sees it.
func (tx *Tx) Kept(site sootline.ID) (Kept, error) { return readKept(tx.ctx, tx.tx, tx.path, site) }

func readKept(ctx context.Context, q querier, path string, site sootline.ID) (kept Kept, err error) {
	rows, err := readHeadRows(ctx, q, path, site)
	if err != nil {
		return kept, err
	}
	for _, row := range rows {
		kept.Heads = append(kept.Heads, Signed{row.SignedHead, row.secret != nil})
	}
	kept.Unsigned, err = readUnsigned(ctx, q, path, site)
	return kept, err
}

func readHeadRows(ctx context.Context, q querier, path string, site sootline.ID) (all []headRow, err error) {
	rows, err := q.QueryContext(ctx, "SELECT station, public, secret, seq, hash, sig FROM head WHERE site = $1 ORDER BY station", site.String())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		row, err := scanHead(rows, site)
		if err != nil {
			return nil, damaged(path, err)
		}
		all = append(all, row)
	}
	return all, rows.Err()
}

func readUnsigned(ctx context.Context, q querier, path string, site sootline.ID) (found []Stretch, err error) {
	rows, err := q.QueryContext(ctx, "SELECT station, first, last FROM unsigned WHERE site = $1 ORDER BY station, first", site.String())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var one Stretch
		if err := rows.Scan(&one.Station, &one.First, &one.Last); err != nil {
			return nil, damaged(path, err)
		}
		found = append(found, one)
	}
	return found, rows.Err()
}

// headRow is a row of the table of heads.
type headRow struct {
	sootline.SignedHead
	secret *sootline.Secret // nil: another book holds it
}

func scanHead(rows *sql.Rows, site sootline.ID) (row headRow, err error) {
	row.Site = site
	var public, secret, hash, sig string
	if err := rows.Scan(&row.Station, &public, &secret, &row.Seq, &hash, &sig); err != nil {
		return row, err
	}
	if secret != "" {
		row.secret = new(sootline.Secret)
		err = fill(row.secret[:], secret)
	}
	var err2 error
	row.Hash, err2 = sootline.ParseHash(hash)
	err = errors.Join(err, err2, fill(row.Key[:], public), fill(row.Sig[:], sig))
	if err == nil && row.secret != nil && row.secret.Key() != row.Key {
		err = fmt.Errorf("the two halves of the key of station %q do not belong together", row.Station)
	}
	return row, err
}

// fill reads base64url that gives exactly as many bytes as there is room for.
func fill(into []byte, text string) error {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(text)
	if err == nil && (len(raw) != len(into) || len(text) != base64.RawURLEncoding.EncodedLen(len(into))) { // it passes over line ends
		err = fmt.Errorf("a key or signature has %d bytes, not %d", len(raw), len(into))
	}
	copy(into, raw)
	return err
}

// pen is what a station signs its chain with; see [Tx.Append].
type pen struct {
	tx      *Tx
	site    sootline.ID
	station string
	row     *headRow // nil: nothing of this chain was ever signed here
}

// takePen finds a station's key among those of the site, and refuses to go on with a chain
// that is not the one it signed: the next signature would hide what was lost.
func (tx *Tx) takePen(site sootline.ID, station string, rows []headRow, chain sootline.Chain) (*pen, error) {
	p := &pen{tx: tx, site: site, station: station}
	i := slices.IndexFunc(rows, func(row headRow) bool { return row.Station == station })
	if i < 0 {
		return p, nil
	}
	p.row = &rows[i]
	if chain.Seq < p.row.Seq || chain.Seq == p.row.Seq && chain.Hash != p.row.Hash {
		return nil, damaged(tx.path, fmt.Errorf("station %q signed %d lines, and the log here does not end with them; nothing more is written after them", station, p.row.Seq))
	}
	return p, nil
}

// sign signs the chain's new end. A station's first signature makes its key. A
// chain whose key another book holds stays unsigned from its head on.
func (p *pen) sign(chain sootline.Chain) error {
	row := p.row
	if row == nil {
		row = &headRow{secret: new(sootline.Secret)}
		rand.Read(row.secret[:]) // never fails (crypto/rand)
	}
	if row.secret == nil {
		return nil
	}
	head := row.secret.Sign(p.site, sootline.Head{Station: p.station, Seq: chain.Seq, Hash: chain.Hash})
	return p.tx.putHead(&head, base64.RawURLEncoding.EncodeToString(row.secret[:]))
}

// KeepHead keeps a station's newest head as another book signed it. A key that is
// here already must be the same, and stays.
func (tx *Tx) KeepHead(head *sootline.SignedHead) error { return tx.putHead(head, "") }

func (tx *Tx) putHead(head *sootline.SignedHead, secret string) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO head (site, station, public, secret, seq, hash, sig) VALUES ($1, $2, $3, $4, $5, $6, $7)
		ON CONFLICT (site, station) DO UPDATE SET seq = excluded.seq, hash = excluded.hash, sig = excluded.sig`,
		head.Site.String(), head.Station, head.Key.String(), secret, head.Seq, head.Hash.String(), base64.RawURLEncoding.EncodeToString(head.Sig[:]))
	return err
}

// PutUnsigned notes that lines stood in the book before anything was signed that
// covers them.
func (tx *Tx) PutUnsigned(site sootline.ID, s Stretch) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO unsigned (site, station, first, last) VALUES ($1, $2, $3, $4) ON CONFLICT (site, station, first) DO NOTHING`,
		site.String(), s.Station, s.First, s.Last)
	return err
}

// Ends gives the ends of all stations' chains in a site's log, by station.
func (tx *Tx) Ends(site sootline.ID) (ends []sootline.Head, err error) {
	return readHeads(tx.ctx, tx.tx, tx.path, "SELECT station, last, hash FROM station_log WHERE site = $1 ORDER BY station", site)
}

func readHeads(ctx context.Context, q querier, path, query string, site sootline.ID) (heads []sootline.Head, err error) {
	rows, err := q.QueryContext(ctx, query, site.String())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var h sootline.Head
		var hash string
		if err := rows.Scan(&h.Station, &h.Seq, &hash); err != nil {
			return nil, damaged(path, err)
		}
		if h.Hash, err = sootline.ParseHash(hash); err != nil {
			return nil, damaged(path, err)
		}
		heads = append(heads, h)
	}
	return heads, rows.Err()
}

// HeadsIn gives the heads of a site's log that another book, or a backup of any
// date, holds: the last line of every page. The file is only read, and its schema
// stays as it is.
func HeadsIn(ctx context.Context, path string, site sootline.ID) (heads []sootline.Head, err error) {
	if err := lookAt(path, false); err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", untouched(path))
	if err != nil {
		return nil, translate(path, "open", err)
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	heads, err = readHeads(ctx, db, path, "SELECT station, last, hash FROM page WHERE site = $1 ORDER BY station, first", site)
	return heads, translate(path, "read", err)
}
