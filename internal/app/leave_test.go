package app

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
)

func namesIn(text string) ([]string, error) {
	return ReadLeavers(context.Background(), "leavers.csv", bytes.NewReader([]byte(text)), int64(len(text)))
}

// TestReadLeavers: a name a line, or a column; what is no list of names is refused.
func TestReadLeavers(t *testing.T) {
	for text, want := range map[string]string{
		"Tim Tech\nRita Reader\n":                      "Tim Tech|Rita Reader",
		"Name\nTim Tech\n":                             "Tim Tech",
		"id;name;left\n7;Tim Tech;May\n8;Rita Reader;": "Tim Tech|Rita Reader",
	} {
		if got, err := namesIn(text); err != nil || strings.Join(got, "|") != want {
			t.Errorf("%q gives %q, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "\n\n", "name\n", "id,name\n7,\n8,Tim Tech\n"} {
		if got, err := namesIn(text); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%q gives %q, %v", text, got, err)
		}
	}
}

func FuzzLeavers(f *testing.F) {
	for _, text := range []string{"Tim Tech\n", "id,name\n7,Tim Tech\n", "name\n\n", "\xff\xfe"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		names, err := ReadLeavers(t.Context(), "leavers.csv", bytes.NewReader(text), int64(len(text)))
		if (err == nil) != (len(names) > 0) {
			t.Errorf("%d names, and %v", len(names), err)
		}
		if slices.Contains(names, "") {
			t.Error("an empty name")
		}
	})
}

// TestLeave: a look changes nothing; a list with a name that is not known, or with the last manager, takes off nobody; else
// all go at once, with their tokens and what asks them in, and the journal names each.
func TestLeave(t *testing.T) {
	a, ctx := newApp(t, "laptop"), t.Context()
	for name, role := range map[string]sootline.Role{"Mara Chief": sootline.Manager, "Nora Chief": sootline.Manager, "Tim Tech": sootline.Technician} {
		if err := a.AddPerson(ctx, name, role, "seven quiet lanterns"); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := a.InvitePerson(ctx, "Ivo Invited", sootline.Reader, Scope{}); err != nil {
		t.Fatal(err)
	}
	nora := *a
	nora.Who = sootline.Actor{Name: "Nora Chief", Role: sootline.Manager}
	token, err := nora.AddToken(ctx, NewToken{Name: "night report", Role: sootline.Reader, Until: a.Now().Add(24 * time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	there := func() (names []string) {
		people, err := a.Book.People(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range people {
			names = append(names, p.Name)
		}
		slices.Sort(names)
		return names
	}
	list, all := []string{"tim tech", "Nora Chief", "Tim Tech", "Ivo Invited"}, []string{"Mara Chief", "Nora Chief", "Tim Tech"}
	if l, err := a.LookAtLeavers(ctx, append(list, "Nobody")); err != nil || len(l.Going) != 2 || len(l.Asked) != 1 || !slices.Equal(l.Unknown, []string{"Nobody"}) {
		t.Errorf("a look says %+v, %v", l, err)
	}
	if _, err := a.Leave(ctx, append(list, "Nobody"), false); sootline.ErrorCode(err) != sootline.NotFound || !strings.Contains(err.Error(), "Nobody") {
		t.Errorf("a name that is not known: %v", err)
	}
	if _, err := a.Leave(ctx, append(list, "Mara Chief"), false); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("the last manager: %v", err)
	}
	if got := there(); !slices.Equal(got, all) {
		t.Fatalf("there are %v", got)
	}
	if now, err := a.TokenOf(ctx, token); now == nil || err != nil {
		t.Fatal(now, err)
	}
	if _, err := a.Leave(ctx, append(list, "Nobody"), true); err != nil {
		t.Fatal(err)
	}
	if got := there(); !slices.Equal(got, []string{"Mara Chief"}) {
		t.Errorf("there are %v", got)
	}
	if now, err := a.TokenOf(ctx, token); now != nil || err != nil {
		t.Errorf("a token of who left opens: %v, %v", now, err)
	}
	events, _, err := a.SecurityEvents(ctx, 0, 50)
	if err != nil {
		t.Fatal(err)
	}
	gone := map[SecurityWhat]int{}
	for _, e := range events {
		gone[e.What]++
	}
	if gone[PersonRemoved] != 2 || gone[InvitationDropped] != 1 {
		t.Errorf("the journal has %v", gone)
	}
	bound := *a
	bound.Who.Scope = sootline.OnlySites()
	if _, err := bound.Leave(ctx, []string{"Mara Chief"}, false); sootline.ErrorCode(err) != sootline.Forbidden {
		t.Errorf("by a manager who is bound: %v", err)
	}
}
