package app

import (
	"context"
	"encoding/base64"
	"errors"
	"strings"
	"testing"

	"golang.org/x/crypto/argon2"

	"sootline"
)

func TestSignIn(t *testing.T) {
	a := newApp(t, "laptop")
	a.Who.From = AtMachine
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
	if err := a.ChangePassword(ctx, "A. Tech", "another four words here"); err != nil {
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
		{"A. Tech\x1b[2J", sootline.Manager, "seven quiet lanterns"},
		{"A. T\u202eech", sootline.Manager, "seven quiet lanterns"},
		{"\u0410. Tech", sootline.Manager, "seven quiet lanterns"},
		{"Montgomery Field", sootline.Manager, "montgomeryfield1"},
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

// TestGuessable: what is made by the rules by which people make bad passwords is
// refused, and words put together are not.
func TestGuessable(t *testing.T) {
	for _, bad := range []string{
		"passwordpassword", "PasswordPassword1", "password12345678", "123456789012345", "987654321098765", "aaaaaaaaaaaaaaa", "abababababababab",
		"qwertyuiopasdfg", "QWERTYUIOP12345", "asdfghjklasdfghjkl", "1qaz2wsx3edc4rfv", "qwertzuiopasdfgh", "azertyuiopqsdfg", "abcdefghijklmnop",
		"marachiefmarachief", "Mara Chief 2026!!", "sootlinesootline", "Sootline-Sootline-1", "firealarm-firealarm", "letmeinletmein12", "!!!!!!!!!!!!!!!!", "welcome welcome 1",
	} {
		if err := goodPassword("Mara Chief", bad); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%q is taken: %v", bad, err)
		}
	}
	for _, good := range []string{
		"seven quiet lanterns", "another four words here", "a long password for M", "correct horse battery staple", "eleven loud kettles", "Схема речного порта", "kx7 gorse vat lintel", "dein Nachbar pfeift leise",
	} {
		if err := goodPassword("Mara Chief", good); err != nil {
			t.Errorf("%q is refused: %v", good, err)
		}
	}
}

// TestLastManager: nobody takes the last manager away, and a name that is known, in
// whatever case, is not replaced.
func TestLastManager(t *testing.T) {
	a := newApp(t, "laptop")
	ctx := t.Context()
	for name, role := range map[string]sootline.Role{"Mara Chief": sootline.Manager, "Tim Tech": sootline.Technician} {
		if err := a.AddPerson(ctx, name, role, "seven quiet lanterns"); err != nil {
			t.Fatal(err)
		}
	}
	for what, err := range map[string]error{
		"adding a name again":         a.AddPerson(ctx, "mara  chief", sootline.Technician, "eleven loud kettles"),
		"demoting the last manager":   a.ChangeRole(ctx, "mara chief", sootline.Technician),
		"removing the last manager":   a.RemovePerson(ctx, "Mara Chief"),
		"the role that somebody has":  a.ChangeRole(ctx, "Tim Tech", sootline.Technician),
		"a role that is none":         a.ChangeRole(ctx, "Tim Tech", "boss"),
		"removing who is not there":   a.RemovePerson(ctx, "Nobody"),
		"the password that is theirs": a.ChangePassword(ctx, "Tim Tech", "seven quiet lanterns"),
	} {
		if err == nil {
			t.Errorf("%s is done", what)
		}
	}
	if p, err := a.SignIn(ctx, "Mara Chief", "seven quiet lanterns"); err != nil || p.Role != sootline.Manager {
		t.Errorf("the manager is %+v, %v", p, err)
	}
	tim := *a
	tim.Who = sootline.Actor{Name: "Tim Tech", Role: sootline.Technician}
	for what, err := range map[string]error{
		"a technician adds somebody": tim.AddPerson(ctx, "X", sootline.Manager, "eleven loud kettles"),
		"promotes themselves":        tim.ChangeRole(ctx, "Tim Tech", sootline.Manager),
		"signs another out":          tim.SignOutEverywhere(ctx, "Mara Chief"),
		"removes another":            tim.RemovePerson(ctx, "Mara Chief"),
		"changes another's password": tim.ChangePassword(ctx, "Mara Chief", "eleven loud kettles"),
		"takes a wrong present one":  tim.ChangeOwnPassword(ctx, Proof{Password: "wrong"}, "eleven loud kettles"),
		"makes it a common one":      tim.ChangeOwnPassword(ctx, Proof{Password: "seven quiet lanterns"}, "passwordpassword"),
	} {
		if err == nil {
			t.Errorf("%s", what)
		}
	}
	if _, _, err := tim.SecurityEvents(ctx, 0, 10); sootline.ErrorCode(err) != sootline.Forbidden {
		t.Errorf("a technician reads the journal: %v", err)
	}
	if err := errors.Join(a.ChangeRole(ctx, "Tim Tech", sootline.Manager), a.RemovePerson(ctx, "mara chief"), tim.ChangeOwnPassword(ctx, Proof{Password: "seven quiet lanterns"}, "eleven loud kettles")); err != nil {
		t.Error(err)
	}
}

// A session that was begun while the password was being changed does not begin.
func TestSignInOvertaken(t *testing.T) {
	a := newApp(t, "laptop")
	ctx := t.Context()
	if err := a.AddPerson(ctx, "Tim Tech", sootline.Technician, "seven quiet lanterns"); err != nil {
		t.Fatal(err)
	}
	p, err := a.SignIn(ctx, "Tim Tech", "seven quiet lanterns")
	if err != nil {
		t.Fatal(err)
	}
	if err := a.ChangePassword(ctx, "Tim Tech", "eleven loud kettles"); err != nil {
		t.Fatal(err)
	}
	if _, err := a.BeginSession(ctx, p, "browser"); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("got %v", err)
	}
}

// What a restore brings back opens nothing, and the restore is in the journal.
func TestRestoredGivesNothingOut(t *testing.T) {
	a := newApp(t, "laptop")
	ctx := t.Context()
	if err := a.AddPerson(ctx, "A. Tech", sootline.Technician, "seven quiet lanterns"); err != nil {
		t.Fatal(err)
	}
	p, err := a.SignIn(ctx, "A. Tech", "seven quiet lanterns")
	if err != nil {
		t.Fatal(err)
	}
	session, err := a.BeginSession(ctx, p, "browser")
	key, _, wrong := a.AddPhone(ctx, "blue phone")
	if err := errors.Join(err, wrong); err != nil {
		t.Fatal(err)
	}
	open := func() bool {
		who, err := a.SessionOf(ctx, session)
		phone, wrong := a.PhoneOf(ctx, key, ForPhone)
		if err := errors.Join(err, wrong); err != nil {
			t.Fatal(err)
		}
		if (who == nil) != (phone == nil) {
			t.Fatal("one of them opens", who, phone)
		}
		return who != nil
	}
	if !open() {
		t.Fatal("they open nothing")
	}
	if err := a.NoteRestored(ctx, "works.db"); err != nil || open() {
		t.Errorf("they open something still, %v", err)
	}
	events, broken, err := a.SecurityEvents(ctx, 0, 1)
	if err != nil || broken != nil || len(events) != 1 || events[0].What != BookRestored || events[0].Detail != "from works.db" {
		t.Errorf("%+v, %v, %v", events, broken, err)
	}
}
