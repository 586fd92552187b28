package app

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Phone is a phone that is a station of its own: what it captures goes by its
// own name in the log.
type Phone struct {
	Station, Name string
	Person        string // whose it is, and in whose name it writes
	Purpose       Purpose
	Added         time.Time
	Site          sootline.ID // the one that a calendar address opens; zero: all that its owner may see
}

// Purpose is what a key is for.
type Purpose string

// The purposes: a phone writes as a station of its own, a calendar program only
// reads due dates.
const (
	ForPhone    Purpose = "phone"
	ForCalendar Purpose = "calendar"
)

// mostPhoneName is the longest name of a phone, in characters.
const mostPhoneName = 40

// Invitation lets one phone in, in the name of who made it, as long as nothing
// of theirs was changed since.
type Invitation struct {
	Person string
	mark   string
}

// InvitePhone makes an invitation in the name of the person at work.
func (a *App) InvitePhone(ctx context.Context) (Invitation, error) {
	if err := a.hasAccount(); err != nil {
		return Invitation{}, err
	}
	if err := a.needs(sootline.Technician); err != nil {
		return Invitation{}, err
	}
	p, err := a.Book.Person(ctx, a.Who.Name)
	if err != nil || p == nil {
		return Invitation{Person: a.Who.Name}, err
	}
	return Invitation{p.Name, p.Mark}, nil
}

// AcceptPhone makes a phone that was invited a station.
func (a *App) AcceptPhone(ctx context.Context, in Invitation, name string) (key string, p Phone, err error) {
	return a.addPhone(ctx, in, Phone{Name: name, Purpose: ForPhone})
}

// AddPhone makes a phone a station of the person at work. The key is for that one
// alone; the book keeps a hash of it.
func (a *App) AddPhone(ctx context.Context, name string) (key string, p Phone, err error) {
	in, err := a.InvitePhone(ctx)
	if err != nil {
		return "", p, err
	}
	return a.addPhone(ctx, in, Phone{Name: name, Purpose: ForPhone})
}

// AddCalendar lets a calendar program read the due dates of one site, or of all that
// the person at work may see when the program reads them.
func (a *App) AddCalendar(ctx context.Context, site sootline.ID) (key string, err error) {
	in, err := a.InvitePhone(ctx)
	if err == nil && !site.Zero() {
		err = a.Who.MaySee(site)
	}
	if err != nil {
		return "", err
	}
	key, _, err = a.addPhone(ctx, in, Phone{Name: "calendar", Purpose: ForCalendar, Site: site})
	return key, err
}

func (a *App) addPhone(ctx context.Context, in Invitation, p Phone) (key string, _ Phone, err error) {
	p.Name, err = sootline.ProperName("phone", p.Name, mostPhoneName)
	if err != nil {
		return "", p, err
	}
	one, more, station := a.Random(), a.Random(), a.Random()
	key = base64.RawURLEncoding.EncodeToString(append(one[:], more[:]...))
	p.Station, p.Person, p.Added = "p-"+hex.EncodeToString(station[:5]), in.Person, sootline.Instant(a.Now())
	what := PhoneAdded
	if p.Purpose == ForCalendar {
		what = CalendarAdded
	}
	return key, p, a.Book.Write(ctx, func(tx *store.Tx) error {
		owner, err := tx.Person(in.Person)
		if err != nil {
			return err
		}
		if !holds(owner, in.mark) || owner != nil && !sootline.Role(owner.Role).May(sootline.Technician) {
			return sootline.Errorf(sootline.Invalid, "make another one", "this invitation holds no more: password or role of %s were changed", in.Person)
		}
		if err := tx.PutPhone(store.Phone{Station: p.Station, Name: p.Name, Person: p.Person, Mark: in.mark, Purpose: string(p.Purpose), Key: keyHash(key), Added: p.Added, Site: p.Site}); err != nil {
			return err
		}
		return a.journalBy(tx, in.Person, what, p.Name, p.Station)
	})
}

// holds reports whether what was given out under a mark to somebody, or to nobody
// that the book knows, still opens something.
func holds(owner *store.Person, mark string) bool {
	if owner == nil {
		return mark == ""
	}
	return owner.Mark == mark
}

// keyHash is what is kept of a key. It has 160 bits of chance, so that a plain
// hash is enough.
func keyHash(key string) string {
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:])
}

// PhoneOf tells which phone holds a key for a purpose; nil when none does, it was
// taken off, or it was given out before the password, the role or the person went.
// What was given out while the book knew nobody opens nothing once it knows somebody.
func (a *App) PhoneOf(ctx context.Context, key string, purpose Purpose) (*Phone, error) {
	p, err := a.Book.PhoneByKey(ctx, keyHash(key))
	if err != nil || p == nil || p.Purpose != string(purpose) {
		return nil, err
	}
	owner, err := a.Book.Person(ctx, p.Person)
	if err != nil || !holds(owner, p.Mark) {
		return nil, err
	}
	if owner == nil {
		if people, err := a.Book.People(ctx); err != nil || len(people) > 0 {
			return nil, err
		}
	}
	phone := phoneOf(p)
	return &phone, nil
}

func phoneOf(p *store.Phone) Phone {
	return Phone{p.Station, p.Name, p.Person, Purpose(p.Purpose), p.Added, p.Site}
}

// Calendar gives the use cases as the calendar program of a key has them at the address
// of a site, or of all: it reads the site that it was made for, or all, and no more
// than its owner may see now. Nil: the key opens nothing there.
func (a *App) Calendar(ctx context.Context, key string, of sootline.ID) (*App, error) {
	p, err := a.PhoneOf(ctx, key, ForCalendar)
	if err != nil || p == nil || !p.Site.Zero() && p.Site != of {
		return nil, err
	}
	at := *a
	at.Who = sootline.Actor{Name: p.Person, Role: sootline.Reader, Station: a.Who.Station, From: a.Who.From}
	owner, err := a.Person(ctx, p.Person)
	if err == nil && owner != nil {
		at.Who.Scope, err = a.ScopeOf(ctx, owner.Scope)
	}
	if !p.Site.Zero() {
		at.Who.Scope = at.Who.Scope.Only(p.Site)
	}
	return &at, err
}

// Phones lists the phones of whoever acts or, to who keeps the book, of all, the
// latest first.
func (a *App) Phones(ctx context.Context) ([]Phone, error) {
	kept, err := a.Book.Phones(ctx)
	if err != nil {
		return nil, err
	}
	var phones []Phone
	all := a.Who.MayKeepBook() == nil
	for i := range kept {
		if all || store.SameName(kept[i].Person, a.Who.Name) {
			phones = append(phones, phoneOf(&kept[i]))
		}
	}
	return phones, nil
}

// DropPhone takes a phone off, one's own or, by a manager, anybody's: its key opens
// nothing any more. What it wrote stays.
func (a *App) DropPhone(ctx context.Context, station string) error {
	if err := a.hasAccount(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		phones, err := tx.Phones()
		if err != nil {
			return err
		}
		for _, p := range phones {
			if p.Station != station || !store.SameName(p.Person, a.Who.Name) && a.Who.MayKeepBook() != nil {
				continue
			}
			if _, err := tx.DropPhone(station); err != nil {
				return err
			}
			return a.journal(tx, PhoneTakenOff, p.Name, p.Station+" of "+p.Person)
		}
		return sootline.Errorf(sootline.NotFound, "", "there is no such phone")
	})
}
