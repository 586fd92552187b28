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
	return a.addPhone(ctx, in, name, ForPhone)
}

// AddPhone makes a phone a station of the person at work, or lets a calendar
// program read. The key is for that one alone; the book keeps a hash of it.
func (a *App) AddPhone(ctx context.Context, name string, purpose Purpose) (key string, p Phone, err error) {
	in, err := a.InvitePhone(ctx)
	if err != nil {
		return "", p, err
	}
	return a.addPhone(ctx, in, name, purpose)
}

func (a *App) addPhone(ctx context.Context, in Invitation, name string, purpose Purpose) (key string, p Phone, err error) {
	name, err = sootline.ProperName("phone", name, mostPhoneName)
	if err != nil {
		return "", p, err
	}
	one, more, station := a.Random(), a.Random(), a.Random()
	key = base64.RawURLEncoding.EncodeToString(append(one[:], more[:]...))
	p = Phone{Station: "p-" + hex.EncodeToString(station[:5]), Name: name, Person: in.Person, Purpose: purpose, Added: sootline.Instant(a.Now())}
	what := PhoneAdded
	if purpose == ForCalendar {
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
		if err := tx.PutPhone(store.Phone{Station: p.Station, Name: p.Name, Person: p.Person, Mark: in.mark, Purpose: string(purpose), Key: keyHash(key), Added: p.Added}); err != nil {
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
	return Phone{p.Station, p.Name, p.Person, Purpose(p.Purpose), p.Added}
}

// Phones lists the phones, the latest first.
func (a *App) Phones(ctx context.Context) ([]Phone, error) {
	kept, err := a.Book.Phones(ctx)
	if err != nil {
		return nil, err
	}
	phones := make([]Phone, len(kept))
	for i := range kept {
		phones[i] = phoneOf(&kept[i])
	}
	return phones, nil
}

// DropPhone takes a phone off, one's own or, by a manager, anybody's: its key opens
// nothing any more. What it wrote stays.
func (a *App) DropPhone(ctx context.Context, station string) error {
	if err := a.needs(sootline.Technician); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		phones, err := tx.Phones()
		if err != nil {
			return err
		}
		for _, p := range phones {
			if p.Station != station || !store.SameName(p.Person, a.Who.Name) && !a.Who.Role.May(sootline.Manager) {
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
