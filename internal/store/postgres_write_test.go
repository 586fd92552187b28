package store

import (
	"context"
	"database/sql"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
)

// warning has every commit of a transaction warn as a cancelled wait does, where the
// condition on its row of attempts holds.
const warning = `
	CREATE FUNCTION warn() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
		IF %COND% THEN RAISE WARNING USING ERRCODE = '01000', MESSAGE = 'invented: canceling wait for synchronous replication'; END IF;
		RETURN NULL;
	END $$;
	CREATE CONSTRAINT TRIGGER warns AFTER INSERT OR UPDATE ON attempt DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION warn()`

// A commit that no standby confirmed is not acknowledged; tried again it is not written twice.
func TestUnconfirmed(t *testing.T) {
	for name, test := range map[string]struct {
		condition string
		confirmed bool
	}{"once": {"NEW.tries = 0", true}, "always": {"true", false}} {
		t.Run(name, func(t *testing.T) {
			s := open(t, pgtest.Schema(t))
			if _, err := s.write.Exec(strings.Replace(warning, "%COND%", test.condition, 1)); err != nil {
				t.Fatal(err)
			}
			ctx, stop := context.WithTimeout(t.Context(), 2*time.Second)
			defer stop()
			runs := 0
			err := s.Write(ctx, func(tx *Tx) error {
				runs++
				return addOne(tx, readings(siteID("works"), "laptop", 0, 1)[0])
			})
			if (err == nil) != test.confirmed || err != nil && sootline.ErrorCode(err) != sootline.Unavailable {
				t.Errorf("acknowledged: %v, want %v (%v)", err == nil, test.confirmed, err)
			}
			if n := follow(t, s, siteID("works")); n != 1 || runs != 1 {
				t.Errorf("%d lines after %d runs", n, runs)
			}
		})
	}
}

// With a standby that must confirm and is not there, neither a deadline nor somebody who
// cancels the wait makes a write acknowledged; once it confirms, the write is there once.
func TestStandbyGone(t *testing.T) {
	server, err := pgtest.Start()
	if err != nil && !pgtest.On() {
		t.Skip(err)
	} else if err != nil {
		t.Fatal(err)
	}
	s := open(t, server)
	waits := func(names string) {
		t.Helper()
		for _, statement := range []string{"ALTER SYSTEM SET synchronous_standby_names = '" + names + "'", "SELECT pg_reload_conf()"} {
			if _, err := s.read.Exec(statement); err != nil {
				t.Fatal(err)
			}
		}
		time.Sleep(500 * time.Millisecond) // until the server has read it
	}
	add(t, s, readings(siteID("works"), "laptop", 0, 1))
	waits("nobody")
	write := func(ctx context.Context, n int) error {
		return s.Write(ctx, func(tx *Tx) error { return addOne(tx, readings(siteID("works"), "laptop", n, 1)[0]) })
	}
	short, leave := context.WithCancel(t.Context())
	first := make(chan error, 1)
	go func() { first <- write(short, 1) }()
	if n := untilWaiting(t, s.read, "SELECT COUNT(*)"); n != 1 {
		t.Errorf("%d wait for a standby, want 1", n)
	}
	leave() // as at a deadline
	if err := <-first; err == nil {
		t.Error("a write was acknowledged as its caller left, which no standby confirmed")
	}
	for range 1000 { // its wait goes on in the server for a moment
		var n int
		if err := s.read.QueryRow("SELECT COUNT(pg_cancel_backend(pid))" + waiting).Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n == 0 {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	long, stop := context.WithTimeout(t.Context(), 60*time.Second)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- write(long, 2) }()
	if n := cancelWaits(t, s.read); n == 0 {
		t.Error("nothing waited for a standby")
	}
	again := cancelWaits(t, s.read)
	if again == 0 {
		t.Error("it is not tried again")
	}
	select {
	case err := <-done:
		t.Errorf("a write that no standby confirmed came to an end: %v", err)
		done <- err
	case <-time.After(500 * time.Millisecond):
	}
	waits("")
	if err := <-done; err != nil {
		t.Errorf("after the wait: %v", err)
	}
	if n := follow(t, s, siteID("works")); n != 3 { // the first too is kept by this server, and was not acknowledged
		t.Errorf("%d lines, want 3", n)
	}
}

// waiting are the commits that wait for a standby.
const waiting = " FROM pg_stat_activity WHERE wait_event = 'SyncRep' AND query ILIKE 'commit%'"

// cancelWaits cancels what waits for a standby, and tells how many did.
func cancelWaits(t *testing.T, db *sql.DB) int {
	t.Helper()
	n := untilWaiting(t, db, "SELECT COUNT(pg_cancel_backend(pid))")
	time.Sleep(100 * time.Millisecond) // until they are gone
	return n
}

// untilWaiting asks of commits that wait for a standby, until there are any.
func untilWaiting(t *testing.T, db *sql.DB, asked string) (n int) {
	t.Helper()
	for range 1000 {
		if err := db.QueryRow(asked + waiting).Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n > 0 {
			return n
		}
		time.Sleep(20 * time.Millisecond)
	}
	return 0
}

// A transaction whose connection breaks is run again, and what it added is there once.
func TestBrokenConnection(t *testing.T) {
	s := open(t, pgtest.Schema(t))
	runs := 0
	err := s.Write(t.Context(), func(tx *Tx) error {
		if err := addOne(tx, readings(siteID("works"), "laptop", 0, 1)[0]); err != nil {
			return err
		}
		if runs++; runs > 1 {
			return nil
		}
		var pid int
		if err := tx.tx.QueryRow("SELECT pg_backend_pid()").Scan(&pid); err != nil {
			return err
		}
		_, err := s.read.Exec("SELECT pg_terminate_backend($1, 5000)", pid)
		return err
	})
	if n := follow(t, s, siteID("works")); err != nil || n != 1 || runs != 2 {
		t.Errorf("%d lines after %d runs: %v", n, runs, err)
	}
}

// Where the answer to a commit was lost, the next try finds that it was done.
func TestLostAnswer(t *testing.T) {
	s := open(t, pgtest.Schema(t))
	d, runs := s.dialect.(*inDatabase), 0
	for range 2 {
		err := d.attempt(t.Context(), "the same", reach{whole: true}, func(tx *Tx) error {
			runs++
			return addOne(tx, readings(siteID("works"), "laptop", 0, 1)[0])
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n := follow(t, s, siteID("works")); n != 1 || runs != 1 {
		t.Errorf("%d lines after %d runs", n, runs)
	}
}

// Who writes to one site does not wait for who writes to another, and waits for who writes to
// the same, and to the whole book.
func TestReach(t *testing.T) {
	s := open(t, pgtest.Schema(t))
	add(t, s, readings(siteID("works"), "laptop", 0, 1))
	add(t, s, readings(siteID("mill"), "laptop", 0, 1))
	nothing := func(*Tx) error { return nil }
	for name, test := range map[string]struct {
		other func(func(*Tx) error) error
		waits bool
	}{
		"another site":   {func(do func(*Tx) error) error { return s.WriteTo(context.Background(), siteID("mill"), do) }, false},
		"rows":           {func(do func(*Tx) error) error { return s.WriteRows(context.Background(), do) }, false},
		"the same site":  {func(do func(*Tx) error) error { return s.WriteTo(context.Background(), siteID("works"), do) }, true},
		"the whole book": {func(do func(*Tx) error) error { return s.Write(context.Background(), do) }, true},
	} {
		t.Run(name, func(t *testing.T) {
			done := make(chan error, 1)
			err := s.WriteTo(t.Context(), siteID("works"), func(*Tx) error {
				go func() { done <- test.other(nothing) }()
				if !test.waits {
					return <-done
				}
				select {
				case <-done:
					t.Error("it did not wait")
					done <- nil
				case <-time.After(300 * time.Millisecond):
				}
				return nil
			})
			if test.waits && err == nil {
				err = <-done
			}
			if err != nil {
				t.Error(err)
			}
		})
	}
}
