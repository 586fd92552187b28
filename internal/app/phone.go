package app

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"strings"
	"time"
	"unicode/utf8"

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

// AddPhone makes a phone a station of the person at work, or lets a calendar
// program read. The key is for that one alone; the book keeps a hash of it.
func (a *App) AddPhone(ctx context.Context, name string, purpose Purpose) (key string, p Phone, err error) {
	if err := a.needs(sootline.Technician); err != nil {
		return "", p, err
	}
	name = strings.Join(strings.Fields(name), " ")
	if name == "" || utf8.RuneCountInString(name) > 40 {
		return "", p, sootline.Errorf(sootline.Invalid, "for example: blue phone", "a phone has a name of 1 to 40 characters")
	}
	one, more, station := a.Random(), a.Random(), a.Random()
	key = base64.RawURLEncoding.EncodeToString(append(one[:], more[:]...))
	p = Phone{Station: "p-" + hex.EncodeToString(station[:5]), Name: name, Person: a.Who.Name, Purpose: purpose, Added: sootline.Instant(a.Now())}
	return key, p, a.Book.Write(ctx, func(tx *store.Tx) error {
		return tx.PutPhone(store.Phone{Station: p.Station, Name: p.Name, Person: p.Person, Purpose: string(purpose), Key: keyHash(key), Added: p.Added})
	})
}

// keyHash is what is kept of a key. It has 160 bits of chance, so that a plain
// hash is enough.
func keyHash(key string) string {
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:])
}

// PhoneOf tells which phone holds a key for a purpose; nil when none does, or it
// was taken off.
func (a *App) PhoneOf(ctx context.Context, key string, purpose Purpose) (*Phone, error) {
	p, err := a.Book.PhoneByKey(ctx, keyHash(key))
	if err != nil || p == nil || p.Purpose != string(purpose) {
		return nil, err
	}
	return &Phone{p.Station, p.Name, p.Person, purpose, p.Added}, nil
}

// Phones lists the phones, the latest first.
func (a *App) Phones(ctx context.Context) ([]Phone, error) {
	kept, err := a.Book.Phones(ctx)
	if err != nil {
		return nil, err
	}
	phones := make([]Phone, len(kept))
	for i, p := range kept {
		phones[i] = Phone{p.Station, p.Name, p.Person, Purpose(p.Purpose), p.Added}
	}
	return phones, nil
}

// DropPhone takes a phone off: its key opens nothing any more. What it wrote stays.
func (a *App) DropPhone(ctx context.Context, station string) error {
	if err := a.needs(sootline.Technician); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		found, err := tx.DropPhone(station)
		if err == nil && !found {
			err = sootline.Errorf(sootline.NotFound, "", "there is no such phone")
		}
		return err
	})
}
