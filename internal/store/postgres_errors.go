package store

import (
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"regexp"

	"github.com/jackc/pgx/v5/pgconn"

	"sootline"
)

// translatePostgres turns an error of PostgreSQL's, or of the way there, into a sentence;
// nil: it is none that has one.
func translatePostgres(name, doing string, err error) error {
	var fault *pgconn.PgError
	switch {
	case errors.Is(err, errUnconfirmed):
		return sootline.Errorf(sootline.Unavailable, "look at the standbys, and do it again: nothing is kept twice", "book %s: %w, which may be lost with the server", name, err)
	case errors.As(err, &fault):
		return sentenceOf(name, doing, fault, err)
	case isBroken(err):
		return sootline.Errorf(sootline.Unavailable, "look whether it runs and can be reached, and do it again", "the database of book %s cannot be reached: %w", name, err)
	}
	return nil
}

// indexRelation is how PostgreSQL quotes a table of the index, whatever language it speaks.
var indexRelation = regexp.MustCompile(`\b(site_head|station_log|kind_page|entry_block)\b`)

// sentenceOf tells an error by its code (PostgreSQL 15, Appendix A).
func sentenceOf(name, doing string, fault *pgconn.PgError, err error) error {
	switch fault.Code {
	case "28000", "28P01", "42501": // not let in, wrong password, no right
		return sootline.Errorf(sootline.Unavailable, "name another user or password, or have the right granted", "the database does not let %s book %s: %w", doing, name, err).Do(sootline.Give, "book")
	case "3D000": // no such database
		return sootline.Errorf(sootline.NotFound, "make it with createdb, or name another", "there is no database for book %s", name).Do(sootline.Give, "book")
	case "42P01", "42703": // no such table, no such column
		if indexRelation.MatchString(fault.Message) {
			return indexDamaged(name, err)
		}
		return damaged(name, err)
	case "XX001", "XX002": // data or index corrupted
		return damaged(name, err)
	case "53100": // disk full
		return diskFull(name)
	case "25006": // read-only
		return sootline.Errorf(sootline.Unavailable, "name the server that takes writes, with target_session_attrs=read-write where there are several", "the database of book %s only reads: %w", name, err)
	case "53300": // too many connections
		return sootline.Errorf(sootline.Unavailable, "raise max_connections, or end other programs", "the database of book %s takes no more connections", name)
	case "22021", "22P05": // a character that the database does not take
		return sootline.Errorf(sootline.Invalid, "take out what cannot be seen", "book %s does not take a character in it: %w", name, err)
	}
	switch class := fault.Code[:min(2, len(fault.Code))]; class {
	case "23": // what is written is new by the pages; only the index can say that it is there
		return indexDamaged(name, err)
	case "08", "57", "40": // the connection, the operator, a transaction that others were in the way of
		return sootline.Errorf(sootline.Unavailable, "do it again", "cannot %s book %s: %w", doing, name, err)
	}
	return nil
}

// isPassing reports whether the same may come out well if it is tried again.
func isPassing(err error) bool {
	var fault *pgconn.PgError
	if !errors.As(err, &fault) {
		return errors.Is(err, errUnconfirmed) || isBroken(err)
	}
	switch fault.Code {
	case "23505", "40001", "40P01": // another wrote the same, or was in the way
		return true
	case "57P01", "57P02", "57P03", "25006", "53300": // the server ends, starts, follows another, or is full
		return true
	}
	return fault.Code[:min(2, len(fault.Code))] == "08"
}

// isBroken reports whether the connection broke, or could not be made.
func isBroken(err error) bool {
	if code := sootline.ErrorCode(err); code != "" && code != sootline.Unavailable {
		return false // it is about something else, whatever it wraps
	}
	var connecting *pgconn.ConnectError
	var network net.Error
	return errors.As(err, &connecting) || errors.As(err, &network) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) ||
		errors.Is(err, driver.ErrBadConn) || errors.Is(err, pgconn.ErrConnClosed)
}
