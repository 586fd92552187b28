package app

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"net"
	"strings"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"sootline"
	"sootline/internal/store"
)

// Passkeys: a key that a device keeps, and shows only after it has looked who holds it
// (W3C Web Authentication, level 2). It is possession and knowledge, or possession and
// a feature of the body, so that it counts as both factors. The book keeps the public
// half.

// Passkey is a key by which whoever acts signs in.
type Passkey struct {
	ID, Name, Host string
	Added, Used    time.Time
}

// PasskeyStep is the first half of adding a passkey, or of signing in by one: what the
// browser is asked, and what the answer is held against. An answer is taken once.
type PasskeyStep struct {
	Options []byte // JSON, for the browser
	session webauthn.SessionData
	person  string // who adds one
}

// Challenge is what the browser's answer repeats.
func (p *PasskeyStep) Challenge() string { return p.session.Challenge }

// PasskeyPlace is where a browser finds the server: a passkey is for one name of it.
type PasskeyPlace struct{ Host, Origin string }

// AtPlace gives the place of an origin, such as https://book.example.org. A passkey is
// for a name, so that there is none where the server is found by a number.
func AtPlace(origin string) (PasskeyPlace, error) {
	scheme, host, _ := strings.Cut(origin, "://")
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	if host = strings.ToLower(strings.Trim(host, "[]")); host == "" || net.ParseIP(host) != nil || scheme != "https" && host != "localhost" {
		return PasskeyPlace{}, sootline.Errorf(sootline.Invalid, "sign in by the password, or reach the server by a name and https", "there are no passkeys at %s", origin)
	}
	return PasskeyPlace{host, origin}, nil
}

func (p PasskeyPlace) party() (*webauthn.WebAuthn, error) {
	return webauthn.New(&webauthn.Config{
		RPID: p.Host, RPDisplayName: "Sootline", RPOrigins: []string{p.Origin},
		AuthenticatorSelection: protocol.AuthenticatorSelection{ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationRequired},
	})
}

// keyHolder is a person as the library for passkeys wants one.
type keyHolder struct {
	handle []byte
	name   string
	keys   []webauthn.Credential
}

func (h *keyHolder) WebAuthnID() []byte                         { return h.handle }
func (h *keyHolder) WebAuthnName() string                       { return h.name }
func (h *keyHolder) WebAuthnDisplayName() string                { return h.name }
func (h *keyHolder) WebAuthnCredentials() []webauthn.Credential { return h.keys }

// holderOf gives whose passkeys these are, under the handle that they share.
func holderOf(name string, kept []store.Passkey) (*keyHolder, error) {
	h := &keyHolder{name: name}
	for i := range kept {
		var key webauthn.Credential
		if err := json.Unmarshal(kept[i].Credential, &key); err != nil {
			return nil, sootline.Errorf(sootline.Damaged, "take it off, and add it again", "a passkey of %s cannot be read: %w", name, err)
		}
		handle, err := base64.RawURLEncoding.DecodeString(kept[i].Handle)
		if err != nil {
			return nil, sootline.Errorf(sootline.Damaged, "take it off, and add it again", "a passkey of %s cannot be read: %w", name, err)
		}
		h.handle, h.keys = handle, append(h.keys, key)
	}
	return h, nil
}

// BeginPasskey begins to add a passkey of whoever acts, once they have shown that they
// know their password, and have the second factor where there is one.
func (a *App) BeginPasskey(ctx context.Context, at PasskeyPlace, proof Proof) (*PasskeyStep, error) {
	p, err := a.ownAccount(ctx, proof.Password)
	if err == nil {
		err = a.Book.Write(ctx, func(tx *store.Tx) error { return a.useCode(tx, p.Name, proof.Code) })
	}
	if err != nil {
		return nil, err
	}
	kept, err := a.Book.Passkeys(ctx, p.Name)
	if err != nil {
		return nil, err
	}
	holder, err := holderOf(p.Name, kept)
	if err != nil {
		return nil, err
	}
	if holder.handle == nil {
		one, more := a.Random(), a.Random()
		holder.handle = append(one[:], more[:]...)
	}
	party, err := at.party()
	if err != nil {
		return nil, err
	}
	options, session, err := party.BeginRegistration(holder, webauthn.WithExclusions(webauthn.Credentials(holder.keys).CredentialDescriptors()))
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(options.Response)
	return &PasskeyStep{text, *session, p.Name}, err
}

// AddPasskey keeps the passkey that a device made. All sessions of its owner end;
// [App.Continue] begins another.
func (a *App) AddPasskey(ctx context.Context, at PasskeyPlace, step *PasskeyStep, name string, answer []byte) error {
	if err := a.hasAccount(); err != nil {
		return err
	}
	name, err := sootline.ProperName("device", name, mostPhoneName)
	if err != nil {
		return err
	}
	if !store.SameName(step.person, a.Who.Name) {
		return sootline.Errorf(sootline.Forbidden, "begin again", "somebody else began to add this passkey")
	}
	party, err := at.party()
	if err != nil {
		return err
	}
	parsed, err := protocol.ParseCredentialCreationResponseBody(bytes.NewReader(answer))
	if err != nil {
		return wrongPasskey(err)
	}
	key, err := party.CreateCredential(&keyHolder{handle: step.session.UserID, name: step.person}, step.session, parsed)
	if err != nil {
		return wrongPasskey(err)
	}
	text, err := json.Marshal(key)
	if err != nil {
		return err
	}
	now := sootline.Instant(a.Now())
	kept := store.Passkey{
		ID: encoded(key.ID), Person: step.person, Handle: encoded(step.session.UserID), Host: at.Host, Name: name, Credential: text, Added: now, Used: now,
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		if _, err := knownPerson(tx, step.person); err != nil {
			return err
		}
		fresh, err := tx.AddPasskey(kept)
		if err == nil && !fresh {
			err = sootline.Errorf(sootline.Conflict, "choose another device", "this passkey is known already")
		}
		if err == nil {
			err = tx.DropAllSignedIn(step.person)
		}
		if err != nil {
			return err
		}
		return a.journal(tx, PasskeyAdded, step.person, name+" at "+at.Host)
	})
}

func encoded(b []byte) string { return base64.RawURLEncoding.EncodeToString(b) }

// wrongPasskey tells of an answer that does not hold. Why helps who guesses, and nobody
// else.
func wrongPasskey(why error) error {
	e := sootline.Errorf(sootline.Invalid, "begin again, or sign in by the password", "this passkey does not hold here")
	e.Err = why
	return e
}

// BeginPasskeySignIn begins to sign somebody in by a passkey; who it is, the answer says.
func (a *App) BeginPasskeySignIn(at PasskeyPlace) (*PasskeyStep, error) {
	party, err := at.party()
	if err != nil {
		return nil, err
	}
	options, session, err := party.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(options.Response)
	return &PasskeyStep{text, *session, ""}, err
}

// SignInByPasskey tells who somebody is by the passkey that a device showed. It stands for
// both factors.
func (a *App) SignInByPasskey(ctx context.Context, at PasskeyPlace, step *PasskeyStep, answer []byte) (Person, error) {
	party, err := at.party()
	if err != nil {
		return Person{}, err
	}
	parsed, err := protocol.ParseCredentialRequestResponseBody(bytes.NewReader(answer))
	if err != nil {
		return Person{}, wrongPasskey(err)
	}
	var person *store.Person
	_, key, err := party.ValidatePasskeyLogin(func(_, handle []byte) (webauthn.User, error) {
		kept, err := a.Book.PasskeysOf(ctx, encoded(handle))
		if err == nil && len(kept) > 0 {
			person, err = a.Book.Person(ctx, kept[0].Person)
		}
		if err != nil || person == nil {
			return nil, errors.Join(err, errors.New("the book knows nobody of this handle"))
		}
		return holderOf(person.Name, kept)
	}, step.session, parsed)
	if err == nil && key.Authenticator.CloneWarning {
		err = errors.New("its counter went back: there may be a copy of it")
	}
	if err != nil {
		return Person{}, errors.Join(wrongPasskey(err), a.journalPasskeyFailure(ctx, person))
	}
	return a.usePasskey(ctx, person, key)
}

// journalPasskeyFailure notes that a passkey of somebody was refused.
func (a *App) journalPasskeyFailure(ctx context.Context, p *store.Person) error {
	if p == nil {
		return nil // anybody can send an answer that means nothing
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		return a.journalBy(tx, "", SignInFailed, p.Name, "a passkey that does not hold")
	})
}

func (a *App) usePasskey(ctx context.Context, p *store.Person, key *webauthn.Credential) (Person, error) {
	text, err := json.Marshal(key)
	if err != nil {
		return Person{}, err
	}
	err = a.Book.Write(ctx, func(tx *store.Tx) error {
		there, err := tx.UsePasskey(encoded(key.ID), text, sootline.Instant(a.Now()))
		if err == nil && !there {
			err = wrongPasskey(errors.New("it was taken off meanwhile"))
		}
		return err
	})
	person := personOf(p)
	person.shown = err == nil
	return person, err
}

// Passkeys lists those of whoever acts.
func (a *App) Passkeys(ctx context.Context) ([]Passkey, error) {
	if err := a.hasAccount(); err != nil {
		return nil, err
	}
	kept, err := a.Book.Passkeys(ctx, a.Who.Name)
	var all []Passkey
	for _, p := range kept {
		all = append(all, Passkey{p.ID, p.Name, p.Host, p.Added, p.Used})
	}
	return all, err
}

// HasPasskeys reports whether somebody can sign in by a passkey.
func (a *App) HasPasskeys(ctx context.Context, name string) (bool, error) {
	kept, err := a.Book.Passkeys(ctx, name)
	return len(kept) > 0, err
}

// DropPasskey takes a passkey of whoever acts off, as [App.DropOwnFactor] does a factor.
func (a *App) DropPasskey(ctx context.Context, id string, proof Proof) error {
	return a.changeWayIn(ctx, proof.Password, func(tx *store.Tx, name string) error {
		if err := a.useCode(tx, name, proof.Code); err != nil {
			return err
		}
		found, err := tx.DropPasskey(name, id)
		if err == nil && !found {
			err = sootline.Errorf(sootline.NotFound, "open the page again", "you have no such passkey any more")
		}
		if err != nil {
			return err
		}
		return a.journal(tx, PasskeyDropped, name, "")
	})
}
