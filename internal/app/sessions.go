package app

import (
	"cmp"
	"context"
	"strings"
	"time"

	"sootline"
	"sootline/internal/store"
)

// How long somebody stays signed in: so long without asking for anything, and so
// long in all. A working day passes between the last look in the evening and the
// first in the morning, so that half a day idle means that a machine was left. NIST
// SP 800-63B-4 lets thirty days pass where a password alone is asked for (AAL1, from
// memory); a manager, who may let others in, shows it every week.
const (
	IdleEnd    = 12 * time.Hour
	LongestEnd = 30 * 24 * time.Hour
	ManagerEnd = 7 * 24 * time.Hour
)

// seenEvery is how exactly it is kept when a session was last seen: each time is a
// write.
const seenEvery = 5 * time.Minute

// SignedIn is one of the places where somebody is signed in.
type SignedIn struct {
	ID          string
	From        string // the network address
	Device      string // what the browser says of itself
	Began, Seen time.Time
}

// SignIn tells who somebody is by name and password. A name that is not known
// takes as long as a wrong password, and gets the same answer.
func (a *App) SignIn(ctx context.Context, name, password string) (Person, error) {
	p, err := a.Book.Person(ctx, name)
	if err != nil {
		return Person{}, err
	}
	kept := noPassword
	if p != nil {
		kept = p.Password
	}
	if matches(kept, password) && p != nil {
		return personOf(p), nil
	}
	if err := a.Book.Write(ctx, func(tx *store.Tx) error { return a.journalFailure(tx, p) }); err != nil {
		return Person{}, err
	}
	return Person{}, sootline.Errorf(sootline.Invalid, "", "name and password do not go together")
}

// noPassword is what is tried for a name that is not known.
var noPassword = hashed("", make([]byte, 20))

// journalFailure notes a failed try. A name that the book does not know is left out:
// it may be a password, typed into the wrong field.
func (a *App) journalFailure(tx *store.Tx, p *store.Person) error {
	if p == nil {
		return a.journalBy(tx, "", SignInFailed, "", "a name that is not known")
	}
	return a.journalBy(tx, "", SignInFailed, p.Name, "a wrong password")
}

// BeginSession notes that somebody is signed in on a device, and gives the id by
// which its session says so.
func (a *App) BeginSession(ctx context.Context, p Person, device string) (id string, err error) {
	now := sootline.Instant(a.Now())
	one, more := a.newMark(), a.newMark()
	in := store.SignedIn{ID: one + more, Person: p.Name, Mark: p.mark, Origin: a.Who.From, Device: clipped(device, 200), Began: now, Seen: now}
	return in.ID, a.Book.Write(ctx, func(tx *store.Tx) error {
		still, err := tx.Person(p.Name)
		if err != nil {
			return err
		}
		if still == nil || still.Mark != p.mark {
			return sootline.Errorf(sootline.Conflict, "sign in again", "password or role were changed meanwhile")
		}
		if f, err := tx.Factor(p.Name); err != nil || f != nil && !p.shown {
			return cmp.Or(err, wrongCode())
		}
		if err := tx.PutSignedIn(in, now.Add(-IdleEnd)); err != nil {
			return err
		}
		return a.journalBy(tx, p.Name, SignedInNow, p.Name, in.Device)
	})
}

// Continue gives whoever acts, and changed just now how they get in, as somebody who may
// begin a session: they showed who they are before.
func (a *App) Continue(ctx context.Context, name string) (Person, error) {
	p, err := a.Person(ctx, name)
	if err == nil && (p == nil || !store.SameName(name, a.Who.Name)) {
		err = noPerson(name)
	}
	if err != nil {
		return Person{}, err
	}
	p.shown = true
	return *p, nil
}

// clipped keeps text that others sent short and readable.
func clipped(text string, most int) string {
	text = strings.Join(strings.Fields(sootline.Shown(text)), " ")
	if characters := []rune(text); len(characters) > most {
		return string(characters[:most]) + "…"
	}
	return text
}

// SessionOf tells who is signed in by a session's id; nil when it has ended: signed
// out, idle, too old, or given out before the password, the role or the person went.
func (a *App) SessionOf(ctx context.Context, id string) (*Person, error) {
	in, err := a.Book.SignedInAs(ctx, id)
	if err != nil || in == nil {
		return nil, err
	}
	p, err := a.Person(ctx, in.Person)
	if err != nil || p == nil || p.mark != in.Mark || ended(in, p.Role, a.Now()) {
		return nil, err
	}
	if now := a.Now(); now.Sub(in.Seen) >= seenEvery {
		a.see(ctx, id, now)
	}
	return p, nil
}

func ended(in *store.SignedIn, role sootline.Role, now time.Time) bool {
	longest := LongestEnd
	if role.May(sootline.Manager) {
		longest = ManagerEnd
	}
	return now.Sub(in.Seen) >= IdleEnd || now.Sub(in.Began) >= longest
}

// see notes that a session was used. Nobody waits for it while long work has the
// pen: then the next request notes it.
func (a *App) see(ctx context.Context, id string, at time.Time) {
	ctx, cancel := context.WithTimeout(ctx, 100*time.Millisecond)
	defer cancel()
	a.Book.WriteRows(ctx, func(tx *store.Tx) error { return tx.SeeSignedIn(id, at) }) //nolint:errcheck // see above
}

// Sessions lists where whoever acts is signed in, the latest seen first.
func (a *App) Sessions(ctx context.Context) ([]SignedIn, error) {
	p, err := a.Person(ctx, a.Who.Name)
	if err != nil || p == nil {
		return nil, err
	}
	kept, err := a.Book.SignedIn(ctx, p.Name)
	var all []SignedIn
	for i := range kept {
		if in := &kept[i]; in.Mark == p.mark && !ended(in, p.Role, a.Now()) {
			all = append(all, SignedIn{in.ID, in.Origin, in.Device, in.Began, in.Seen})
		}
	}
	return all, err
}

// EndSession ends one of the sessions of whoever acts.
func (a *App) EndSession(ctx context.Context, id string) error {
	if err := a.hasAccount(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		found, err := tx.DropSignedIn(a.Who.Name, id)
		if err != nil {
			return err
		}
		if !found {
			return sootline.Errorf(sootline.NotFound, "open the page again", "you are not signed in there any more")
		}
		return a.journal(tx, SignedOut, a.Who.Name, "")
	})
}
