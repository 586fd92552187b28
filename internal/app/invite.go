package app

import (
	"context"
	"encoding/base64"
	"time"

	"sootline"
	"sootline/internal/store"
)

// InvitationStands is how long somebody who is asked in has to come.
const InvitationStands = 7 * 24 * time.Hour

// Asked-in people choose a password of their own, so that nobody else ever knows it.

// Welcome is an invitation that stands, as whoever holds its key may know of it.
type Welcome struct {
	Name  string
	Role  sootline.Role
	Until time.Time
	Sites string // in words
}

// InvitePerson asks somebody in, and gives the key of the address at which they choose
// a password, once. Asked again under the same name, only the last key opens.
func (a *App) InvitePerson(ctx context.Context, name string, role sootline.Role, scope Scope) (key string, err error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return "", err
	}
	if name, err = newcomer(name, role); err != nil {
		return "", err
	}
	one, more := a.Random(), a.Random()
	key = base64.RawURLEncoding.EncodeToString(append(one[:], more[:]...))
	now := sootline.Instant(a.Now())
	in := store.Invitation{Key: keyHash(key), Name: name, Role: string(role), Maker: a.Who.Name, Until: now.Add(InvitationStands)}
	return key, a.Book.Write(ctx, func(tx *store.Tx) (err error) {
		if err := freePerson(tx, name); err != nil {
			return err
		}
		if in.Scope, err = a.checkScope(tx, role, scope); err != nil {
			return err
		}
		if in.Mark, err = markOf(tx, in.Maker); err != nil {
			return err
		}
		if err := tx.PutInvitation(in, now); err != nil {
			return err
		}
		return a.journal(tx, PersonInvited, name, "as "+in.Role+", "+sayScope(tx, in.Scope)+", until "+in.Until.Format(time.DateOnly))
	})
}

// WelcomeOf gives the invitation of a key. One that was used, is too old, or whose maker
// went or had role or password changed, is no more.
func (a *App) WelcomeOf(ctx context.Context, key string) (Welcome, error) {
	in, err := a.Book.Invitation(ctx, keyHash(key))
	if err != nil {
		return Welcome{}, err
	}
	if err := a.stands(ctx, in); err != nil {
		return Welcome{}, err
	}
	return a.welcome(ctx, in), nil
}

func (a *App) welcome(ctx context.Context, in *store.Invitation) Welcome {
	return Welcome{in.Name, sootline.Role(in.Role), in.Until, a.SayScope(ctx, scopeOf(in.Scope))}
}

func (a *App) stands(ctx context.Context, in *store.Invitation) error {
	if in != nil && a.Now().Before(in.Until) {
		stands, err := a.standsBy(ctx, in.Maker, in.Mark)
		if err != nil || stands {
			return err
		}
	}
	return sootline.Errorf(sootline.NotFound, "ask for another one", "this invitation was used, is too old, or was taken back")
}

// Accept takes an invitation up: whoever holds its key is let in, by the password that
// they choose. It is good once.
func (a *App) Accept(ctx context.Context, key, password string) (Person, error) {
	in, err := a.Book.Invitation(ctx, keyHash(key))
	if err == nil {
		err = a.stands(ctx, in)
	}
	if err == nil {
		err = goodPassword(in.Name, password)
	}
	if err != nil {
		return Person{}, err
	}
	hash := a.hash(password)
	var added *store.Person
	err = a.Book.Write(ctx, func(tx *store.Tx) error {
		still, err := tx.DropInvitation(in.Key)
		if err == nil && !still {
			err = a.stands(ctx, nil)
		}
		if err != nil {
			return err
		}
		said, err := a.addPerson(tx, store.Person{Name: in.Name, Role: in.Role, Password: hash, Scope: in.Scope})
		if err != nil {
			return err
		}
		if added, err = tx.Person(in.Name); err != nil {
			return err
		}
		return a.journalBy(tx, in.Name, InvitationTaken, in.Name, said+", invited by "+in.Maker)
	})
	if err != nil {
		return Person{}, err
	}
	p := personOf(added)
	p.shown = true // there is no second factor yet
	return p, nil
}

// Invited lists the invitations that stand, by name.
func (a *App) Invited(ctx context.Context) ([]Welcome, error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return nil, err
	}
	kept, err := a.Book.Invitations(ctx)
	if err != nil {
		return nil, err
	}
	var all []Welcome
	for i := range kept {
		if err := a.stands(ctx, &kept[i]); err == nil {
			all = append(all, a.welcome(ctx, &kept[i]))
		} else if sootline.ErrorCode(err) != sootline.NotFound {
			return nil, err
		}
	}
	return all, nil
}

// TakeBack ends an invitation.
func (a *App) TakeBack(ctx context.Context, name string) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		all, err := tx.Invitations()
		if err != nil {
			return err
		}
		for _, in := range all {
			if !store.SameName(in.Name, name) {
				continue
			}
			if _, err := tx.DropInvitation(in.Key); err != nil {
				return err
			}
			return a.journal(tx, InvitationDropped, in.Name, "")
		}
		return sootline.Errorf(sootline.NotFound, "the list shows who is asked in", "nobody named %q is asked in", name)
	})
}
