package app

import (
	"context"
	"encoding/base64"
	"time"

	"sootline"
	"sootline/internal/store"
)

// TokenBegins is how every token begins, so that one that lies about is known for
// what it is.
const TokenBegins = "sootline_"

// LongestToken is how long a token may last.
const LongestToken = 366 * 24 * time.Hour

// Token lets a program use the API, as long as whoever made it may keep the book and
// has neither password nor role changed. One that was made at the machine itself, by
// nobody whom the book knows, lasts until its end.
type Token struct {
	Name         string // what it writes goes by this name
	Role         sootline.Role
	Scope        Scope
	Maker        string
	Added, Until time.Time
}

// NewToken says what a token is to be.
type NewToken struct {
	Name  string
	Role  sootline.Role // reader or technician
	Scope Scope
	Until time.Time
}

// AddToken makes a token, and gives it this once: the book keeps a hash of it.
func (a *App) AddToken(ctx context.Context, in NewToken) (secret string, err error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return "", err
	}
	if in.Name, err = sootline.PersonName(in.Name); err != nil {
		return "", err
	}
	now := sootline.Instant(a.Now())
	switch {
	case in.Role != sootline.Reader && in.Role != sootline.Technician:
		return "", sootline.Errorf(sootline.Invalid, "a program is a reader or a technician", "%q is not a role of a program", in.Role).Do(sootline.Give, "role", string(sootline.Reader))
	case !in.Until.After(now):
		return "", sootline.Errorf(sootline.Invalid, "name a later day", "the token would have ended already")
	case in.Until.Sub(now) > LongestToken:
		return "", sootline.Errorf(sootline.Invalid, "name an earlier day, and make another one then", "a token lasts a year at most")
	}
	one, more := a.Random(), a.Random()
	secret = TokenBegins + base64.RawURLEncoding.EncodeToString(append(one[:], more[:]...))
	t := store.Token{Name: in.Name, Role: string(in.Role), Key: keyHash(secret), Maker: a.Who.Name, Added: now, Until: in.Until}
	return secret, a.Book.Write(ctx, func(tx *store.Tx) error { return a.addToken(tx, t, in.Scope) })
}

func (a *App) addToken(tx *store.Tx, t store.Token, scope Scope) (err error) {
	if t.Scope, err = a.checkScope(tx, sootline.Role(t.Role), scope); err != nil {
		return err
	}
	if t.Mark, err = markOf(tx, t.Maker); err != nil {
		return err
	}
	if err := freePerson(tx, t.Name); err != nil {
		return err
	}
	if _, err := tx.AddToken(t); err != nil {
		return err
	}
	return a.journal(tx, TokenAdded, t.Name, "as "+t.Role+", "+sayScope(tx, t.Scope)+", until "+t.Until.Format(time.DateOnly))
}

// markOf gives the mark of somebody, who may be nobody that the book knows.
func markOf(tx *store.Tx, name string) (string, error) {
	p, err := tx.Person(name)
	if err != nil || p == nil {
		return "", err
	}
	return p.Mark, nil
}

// TokenOf tells which program shows a token; nil: none, it was removed, it has ended, or
// its maker went or had role or password changed.
func (a *App) TokenOf(ctx context.Context, secret string) (*Token, error) {
	t, err := a.Book.TokenByKey(ctx, keyHash(secret))
	if err != nil || t == nil || !a.Now().Before(t.Until) {
		return nil, err
	}
	if stands, err := a.standsBy(ctx, t.Maker, t.Mark); err != nil || !stands {
		return nil, err
	}
	token := tokenOf(t)
	return &token, nil
}

// standsBy reports whether who gave something out under a mark may still give it out:
// a manager of all sites, with the same mark; or, at the machine itself, nobody whom
// the book knows.
func (a *App) standsBy(ctx context.Context, maker, mark string) (bool, error) {
	p, err := a.Book.Person(ctx, maker)
	if err != nil || p == nil {
		return err == nil && mark == "", err
	}
	return p.Mark == mark && sootline.Role(p.Role).May(sootline.Manager) && !p.Scope.Bound, nil
}

func tokenOf(t *store.Token) Token {
	return Token{t.Name, sootline.Role(t.Role), scopeOf(t.Scope), t.Maker, t.Added, t.Until}
}

// Tokens lists those that open something, by name.
func (a *App) Tokens(ctx context.Context) ([]Token, error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return nil, err
	}
	kept, err := a.Book.Tokens(ctx)
	if err != nil {
		return nil, err
	}
	var tokens []Token
	for i := range kept {
		stands, err := a.standsBy(ctx, kept[i].Maker, kept[i].Mark)
		if err != nil {
			return nil, err
		}
		if stands && a.Now().Before(kept[i].Until) {
			tokens = append(tokens, tokenOf(&kept[i]))
		}
	}
	return tokens, nil
}

// RemoveToken ends a token. What was written by it stays.
func (a *App) RemoveToken(ctx context.Context, name string) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		t, err := tx.Token(name)
		if err == nil && t == nil {
			err = sootline.Errorf(sootline.NotFound, "the list of tokens shows the names", "there is no token named %q", name)
		}
		if err == nil {
			_, err = tx.DropToken(t.Name)
		}
		if err != nil {
			return err
		}
		return a.journal(tx, TokenRemoved, t.Name, "")
	})
}
