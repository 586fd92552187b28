// Package pgtest gives tests books to open: a file each, or with SOOTLINE_PG a schema
// each of a PostgreSQL server. SOOTLINE_PG is the server's address, as a user who may make
// schemas; or "own": then a cluster of its own is started in a folder that goes away with the
// test process. It knows nothing of what a book is.
package pgtest

import (
	"context"
	"crypto/rand"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"

	"sootline/internal/pgserver"
)

// Own is the value of SOOTLINE_PG for a cluster of the tests' own.
const Own = "own"

// shared is the cluster of the test process.
var shared = sync.OnceValues(Start)

// Start starts a cluster more. What is written to it need not reach the disk.
func Start() (address string, err error) {
	return pgserver.Start("-c fsync=off -c full_page_writes=off")
}

// On reports whether books of tests lie in PostgreSQL.
func On() bool { return os.Getenv("SOOTLINE_PG") != "" }

// Book names a book that is not there yet, where SOOTLINE_PG says.
func Book(t testing.TB) string {
	t.Helper()
	if On() {
		return Schema(t)
	}
	return filepath.Join(t.TempDir(), "book.db")
}

// FileOnly leaves a test out that is about a book's file, where books lie in PostgreSQL.
func FileOnly(t testing.TB) {
	t.Helper()
	if On() {
		t.Skip("about a book in a file")
	}
}

// Schema names a book in PostgreSQL, whatever SOOTLINE_PG says. Without a server named there
// it starts one, where Debian's package is installed, and else leaves the test out.
func Schema(t testing.TB) string {
	t.Helper()
	schema := "t_" + strings.ToLower(rand.Text()[:12])
	address := Server(t)
	t.Cleanup(func() { Exec(t, "SET client_min_messages = error; DROP SCHEMA IF EXISTS "+schema+" CASCADE") })
	return With(address, "search_path", schema)
}

// With gives an address with a setting in the place of one of that name.
func With(address, name, value string) string {
	at, err := url.Parse(address)
	if err != nil {
		return address // whoever opens it says what is wrong
	}
	query := at.Query()
	query.Set(name, value)
	at.RawQuery = query.Encode()
	return at.String()
}

// As gives an address with another user.
func As(address, name, password string) string {
	at, err := url.Parse(address)
	if err != nil {
		return address
	}
	at.User = url.UserPassword(name, password)
	return at.String()
}

// Server gives the address of the server.
func Server(t testing.TB) string {
	t.Helper()
	if address := os.Getenv("SOOTLINE_PG"); address != "" && address != Own {
		return address
	}
	address, err := shared()
	if err != nil && !On() {
		t.Skipf("no server: %v", err)
	} else if err != nil {
		t.Fatal(err)
	}
	return address
}

// Exec runs statements on the server, as who may do all.
func Exec(t testing.TB, statements string) {
	t.Helper()
	ctx := context.Background() // also when the test is over
	conn, err := pgx.Connect(ctx, Server(t))
	if err != nil {
		t.Error(err)
		return
	}
	defer conn.Close(ctx) //nolint:errcheck // it was used
	if _, err := conn.Exec(ctx, statements); err != nil {
		t.Error(err)
	}
}
