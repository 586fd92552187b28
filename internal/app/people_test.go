package app

import (
	"context"
	"encoding/base64"
	"strings"
	"testing"

	"golang.org/x/crypto/argon2"

	"sootline"
)

func TestSignIn(t *testing.T) {
	a := newApp(t, "laptop")
	ctx := context.Background()
	const password = "seven quiet lanterns"
	if err := a.AddPerson(ctx, " A.  Tech ", sootline.Technician, password); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, password string
		ok             bool
	}{
		{"A. Tech", password, true},
		{"a. tech", password, true},
		{"A. Tech", password + " ", false},
		{"A. Tech", "", false},
		{"B. Tech", password, false},
		{"B. Tech", "", false},
		{"A. Tech", strings.Repeat("x", 2000), false},
	} {
		p, err := a.SignIn(ctx, c.name, c.password)
		if (err == nil) != c.ok || c.ok && (p.Name != "A. Tech" || p.Role != sootline.Technician) {
			t.Errorf("%q with %d bytes of password: %+v, %v", c.name, len(c.password), p, err)
		}
		if err != nil && err.Error() != "name and password do not go together" {
			t.Errorf("a wrong try tells more than that it is wrong: %v", err)
		}
	}
	kept, err := a.Book.Person(ctx, "a. tech")
	if err != nil || strings.Contains(kept.Password, password) {
		t.Errorf("the password is kept as it is: %v", err)
	}
	if err := a.AddPerson(ctx, "A. Tech", sootline.Manager, "another four words here"); err != nil {
		t.Fatal(err)
	}
	if _, err := a.SignIn(ctx, "A. Tech", password); err == nil {
		t.Error("the old password still opens")
	}
}

// The PHC string holds what another program needs to check the password: the
// same key comes from its salt and parameters.
func TestHashedIsPHC(t *testing.T) {
	fields := strings.Split(hashed("seven quiet lanterns", []byte("a salt of 20 bytes..")), "$")
	if len(fields) != 6 || fields[1] != "argon2id" || fields[2] != "v=19" || fields[3] != "m=19456,t=2,p=1" {
		t.Fatalf("fields %v", fields)
	}
	want := argon2.IDKey([]byte("seven quiet lanterns"), []byte("a salt of 20 bytes.."), 2, 19456, 1, 32)
	if fields[5] != base64.RawStdEncoding.EncodeToString(want) {
		t.Error("the key is not that of its parameters")
	}
}

func TestPeopleRefused(t *testing.T) {
	a := newApp(t, "laptop")
	for _, c := range []struct {
		name     string
		role     sootline.Role
		password string
	}{
		{"", sootline.Manager, "seven quiet lanterns"},
		{"A. Tech", sootline.Stranger, "seven quiet lanterns"},
		{"A. Tech", "boss", "seven quiet lanterns"},
		{"A. Tech", sootline.Manager, "fourteen chars"},
		{strings.Repeat("x", 81), sootline.Manager, "seven quiet lanterns"},
	} {
		if err := a.AddPerson(context.Background(), c.name, c.role, c.password); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%q as %q: %v", c.name, c.role, err)
		}
	}
	if people, err := a.People(context.Background()); err != nil || len(people) > 0 {
		t.Errorf("%v, %v", people, err)
	}
}

func TestRoles(t *testing.T) {
	order := []sootline.Role{sootline.Stranger, sootline.Technician, sootline.Manager}
	for i, role := range order {
		for j, needs := range order {
			if role.May(needs) != (i >= j) {
				t.Errorf("%q may what needs %q: %v", role, needs, role.May(needs))
			}
		}
	}
	if sootline.Role("boss").May(sootline.Technician) {
		t.Error("a role that is not known may more than a stranger")
	}
}

// An entry with an id of its own is added once, by whatever way it comes back.
func TestAddedOnce(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	ctx := context.Background()
	note := Note{ID: sootline.NewID(today, a.Random()), Body: sootline.Note{Text: "soak test begun"}}
	first, err := a.AddEntry(ctx, site, note)
	if err != nil {
		t.Fatal(err)
	}
	again, err := a.AddEntry(ctx, site, note)
	if err != nil || again.ID != first.ID || again.At != first.At {
		t.Errorf("the second time gives %+v, %v", again, err)
	}
	note.Body = sootline.Note{Text: "something else"}
	if _, err := a.AddEntry(ctx, site, note); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("other content under the same id gives %v", err)
	}
	if n := len(register(t, a, site).Events); n != 1 {
		t.Errorf("%d notes in the log, want 1", n)
	}
}
