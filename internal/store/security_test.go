package store

import (
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
)

// A line of the journal that was altered, or removed from among others, shows.
func TestSecurityEventsAreWhole(t *testing.T) {
	for name, change := range map[string]string{
		"altered": "UPDATE security_event SET actor = 'B' WHERE seq = 3", "removed": "DELETE FROM security_event WHERE seq = 2",
		"first removed": "DELETE FROM security_event WHERE seq = 1", "moved": "UPDATE security_event SET at = at + 1 WHERE seq = 1",
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t, pgtest.Book(t))
			for i := range 4 {
				err := s.Write(t.Context(), func(tx *Tx) error {
					return tx.AddSecurityEvent(SecurityEvent{At: epoch.Add(time.Duration(i) * time.Hour), What: "signed in", Actor: "A"})
				})
				if err != nil {
					t.Fatal(err)
				}
			}
			if err := s.CheckSecurityEvents(t.Context()); err != nil {
				t.Fatal(err)
			}
			if events, err := s.SecurityEvents(t.Context(), 4, 2); err != nil || len(events) != 2 || events[0].Seq != 3 || events[1].Seq != 2 {
				t.Errorf("%+v, %v", events, err)
			}
			if _, err := s.write.ExecContext(t.Context(), change); err != nil {
				t.Fatal(err)
			}
			if err := s.CheckSecurityEvents(t.Context()); sootline.ErrorCode(err) != sootline.Damaged {
				t.Errorf("a line that was %s: %v", name, err)
			}
		})
	}
}

// The person and phone of an older book go on: its phone opens as before, until
// something of its owner is changed.
func TestOlderPeople(t *testing.T) {
	s, err := Open(t.Context(), older(t), false, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	p, err := s.Person(t.Context(), "A. Tech")
	phones, wrong := s.Phones(t.Context())
	if err != nil || wrong != nil || p == nil || p.Mark != "" || len(phones) != 1 || phones[0].Mark != "" {
		t.Fatalf("%+v, %+v, %v, %v", p, phones, err, wrong)
	}
	p.Mark = "another"
	if err := s.Write(t.Context(), func(tx *Tx) error { return tx.ChangePerson(*p) }); err != nil {
		t.Fatal(err)
	}
	p, err = s.Person(t.Context(), "A. Tech")
	phones, wrong = s.Phones(t.Context())
	if err != nil || wrong != nil || p.Mark != "another" || len(phones) != 0 {
		t.Errorf("%+v, %+v, %v, %v", p, phones, err, wrong)
	}
}
