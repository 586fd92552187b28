package store

import (
	"context"
	"testing"
	"time"

	"sootline/internal/pgtest"
)

func TestSessions(t *testing.T) {
	now := epoch
	s := Sessions{Store: open(t, pgtest.Book(t)), Now: func() time.Time { return now }}
	find := func(token string) string {
		t.Helper()
		data, found, err := s.Find(token)
		if err != nil || !found && data != nil {
			t.Fatal(data, err)
		}
		return string(data)
	}
	for _, data := range []string{"one", "two"} { // a second commit replaces the first
		if err := s.Commit("token", []byte(data), epoch.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
		if got := find("token"); got != data {
			t.Errorf("found %q, want %q", got, data)
		}
	}
	if got := find("other"); got != "" {
		t.Errorf("an unknown token finds %q", got)
	}
	now = epoch.Add(time.Hour)
	if got := find("token"); got != "" {
		t.Errorf("a session that has run out still gives %q", got)
	}
	if err := s.Commit("next", []byte("three"), now.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	var kept int
	if err := s.Store.read.QueryRowContext(context.Background(), "SELECT COUNT(*) FROM session").Scan(&kept); err != nil || kept != 1 {
		t.Errorf("%d sessions are kept, want only the one that holds: %v", kept, err)
	}
	if err := s.Delete("next"); err != nil || find("next") != "" {
		t.Errorf("a session that was ended is still there: %v", err)
	}
}
