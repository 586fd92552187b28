package app

import (
	"context"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"sootline"
	"sootline/internal/store"
)

// LeastPassword is the shortest password (NIST SP 800-63B-4, 3.1.1.2: fifteen
// characters where it is the only factor; from memory).
const LeastPassword = 15

// AddPerson lets somebody sign in, or gives somebody another role and password.
func (a *App) AddPerson(ctx context.Context, name string, role sootline.Role, password string) error {
	if err := a.needs(sootline.Manager); err != nil {
		return err
	}
	name = strings.Join(strings.Fields(name), " ")
	switch {
	case name == "" || utf8.RuneCountInString(name) > 80:
		return sootline.Errorf(sootline.Invalid, "", "a person has a name of 1 to 80 characters")
	case role != sootline.Technician && role != sootline.Manager:
		return sootline.Errorf(sootline.Invalid, "the roles are "+string(sootline.Technician)+" and "+string(sootline.Manager), "%q is not a role", role).Do(sootline.Give, "role", string(sootline.Technician))
	case utf8.RuneCountInString(password) < LeastPassword:
		return sootline.Errorf(sootline.Invalid, "a few words that nobody else puts together are easy to keep", "a password has at least %d characters", LeastPassword)
	case len(password) > 1000:
		return sootline.Errorf(sootline.Invalid, "", "a password has at most 1000 bytes")
	}
	random, more := a.Random(), a.Random()
	hash := hashed(password, append(random[:], more[:]...))
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		return tx.PutPerson(store.Person{Name: name, Role: string(role), Password: hash, Added: a.Now()})
	})
}

// Person is somebody who may sign in, as others may know of them.
type Person struct {
	Name  string
	Role  sootline.Role
	Added time.Time
}

// People lists those who may sign in.
func (a *App) People(ctx context.Context) ([]Person, error) {
	kept, err := a.Book.People(ctx)
	if err != nil {
		return nil, err
	}
	people := make([]Person, len(kept))
	for i, p := range kept {
		people[i] = Person{p.Name, sootline.Role(p.Role), p.Added}
	}
	return people, nil
}

// Person finds somebody who may sign in; nil when there is no such name.
func (a *App) Person(ctx context.Context, name string) (*Person, error) {
	p, err := a.Book.Person(ctx, name)
	if err != nil || p == nil {
		return nil, err
	}
	return &Person{p.Name, sootline.Role(p.Role), p.Added}, nil
}

// SignIn tells who somebody is by name and password. A name that is not known
// takes as long as a wrong password, and gets the same answer.
func (a *App) SignIn(ctx context.Context, name, password string) (Person, error) {
	p, err := a.Book.Person(ctx, name)
	if err != nil {
		return Person{}, err
	}
	kept := hashed("", make([]byte, 20))
	if p != nil {
		kept = p.Password
	}
	if len(password) > 1000 || !matches(kept, password) || p == nil {
		return Person{}, sootline.Errorf(sootline.Invalid, "", "name and password do not go together")
	}
	return Person{p.Name, sootline.Role(p.Role), p.Added}, nil
}

// What a password costs to try: 19 MiB and two passes of argon2id (OWASP password
// storage cheat sheet, from memory); 40 ms on the machine it was tried on.
const (
	hashPasses = 2
	hashKiB    = 19 << 10
	hashBytes  = 32
)

// hashed gives the PHC string of a password.
func hashed(password string, salt []byte) string {
	encode := base64.RawStdEncoding.EncodeToString
	key := argon2.IDKey([]byte(password), salt, hashPasses, hashKiB, 1, hashBytes)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=1$%s$%s", argon2.Version, hashKiB, hashPasses, encode(salt), encode(key))
}

// matches reports whether a password is the one that was kept.
func matches(kept, password string) bool {
	fields := strings.Split(kept, "$")
	if len(fields) != 6 {
		return false
	}
	salt, err := base64.RawStdEncoding.DecodeString(fields[4])
	if err != nil {
		return false
	}
	return subtle.ConstantTimeCompare([]byte(kept), []byte(hashed(password, salt))) == 1
}
