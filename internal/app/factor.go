package app

import (
	"context"
	"crypto/subtle"
	"encoding/base32"
	"strings"
	"time"

	"github.com/pquerna/otp/totp"

	"sootline"
	"sootline/internal/store"
)

// The second factor: codes of six digits for each half minute, by a secret that the
// book and a program of the person's hold (RFC 6238). The book keeps the secret as it
// is, since it computes the codes: who has the book's file has it.

// halfMinute is how long a code stands. One before and one after are taken too, as
// clocks differ (RFC 6238, 5.2, from memory); no code is taken twice.
const halfMinute = 30

// NewFactor makes a secret for a second factor, and the address by which a program takes
// it in. Nothing is kept before a code shows that the program has it.
func (a *App) NewFactor() (secret, address string, err error) {
	one, more := a.Random(), a.Random()
	key, err := totp.Generate(totp.GenerateOpts{Issuer: "Sootline", AccountName: a.Who.Name, Secret: append(one[:], more[:]...)})
	if err != nil {
		return "", "", err
	}
	return key.Secret(), key.URL(), nil
}

// SetFactor gives whoever acts a second factor, once they show a code of it and
// their password. One that is there is not replaced: taking it away asks for its code.
func (a *App) SetFactor(ctx context.Context, secret, code, password string) error {
	if _, err := base32.StdEncoding.WithPadding(base32.NoPadding).DecodeString(secret); err != nil || len(secret) < 26 {
		return sootline.Errorf(sootline.Invalid, "begin again", "the secret of the second factor was lost on the way")
	}
	return a.changeWayIn(ctx, password, func(tx *store.Tx, name string) error {
		f, err := tx.Factor(name)
		if err != nil {
			return err
		}
		if f != nil {
			return sootline.Errorf(sootline.Conflict, "take it away first, by a code of it", "there is a second factor already")
		}
		step, ok := codeStep(secret, code, a.Now(), 0)
		if !ok {
			return wrongCode()
		}
		if err := tx.PutFactor(name, store.Factor{Secret: secret, Used: step}); err != nil {
			return err
		}
		return a.journal(tx, FactorSet, name, "")
	})
}

// DropOwnFactor takes the second factor of whoever acts away, by their password and a
// code of it.
func (a *App) DropOwnFactor(ctx context.Context, proof Proof) error {
	return a.changeWayIn(ctx, proof.Password, func(tx *store.Tx, name string) error {
		if err := a.useCode(tx, name, proof.Code); err != nil {
			return err
		}
		return a.dropFactor(tx, name)
	})
}

// DropFactor takes somebody's second factor and passkeys away, as a manager does for who
// lost the device. Their sessions end.
func (a *App) DropFactor(ctx context.Context, name string) error {
	if err := a.mayChangeWayIn(name); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		p, err := knownPerson(tx, name)
		if err != nil {
			return err
		}
		keys, err := tx.DropPasskeys(p.Name)
		if err == nil {
			err = tx.DropAllSignedIn(p.Name)
		}
		if err != nil {
			return err
		}
		if !keys {
			return a.dropFactor(tx, p.Name)
		}
		if _, err := tx.DropFactor(p.Name); err != nil {
			return err
		}
		return a.journal(tx, FactorDropped, p.Name, "with all passkeys")
	})
}

func (a *App) dropFactor(tx *store.Tx, name string) error {
	found, err := tx.DropFactor(name)
	if err == nil && !found {
		err = sootline.Errorf(sootline.NotFound, "", "%s has no second factor", name)
	}
	if err != nil {
		return err
	}
	return a.journal(tx, FactorDropped, name, "")
}

// changeWayIn changes how whoever acts gets in, by their password. All their sessions
// end; [App.Continue] begins another.
func (a *App) changeWayIn(ctx context.Context, password string, change func(tx *store.Tx, name string) error) error {
	p, err := a.ownAccount(ctx, password)
	if err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		if err := change(tx, p.Name); err != nil {
			return err
		}
		return tx.DropAllSignedIn(p.Name)
	})
}

// useCode uses up a code of somebody's second factor; who has none needs none.
func (a *App) useCode(tx *store.Tx, name, code string) error {
	f, err := tx.Factor(name)
	if err != nil || f == nil {
		return err
	}
	step, ok := codeStep(f.Secret, code, a.Now(), f.Used)
	if !ok {
		return wrongCode()
	}
	f.Used = step
	return tx.PutFactor(name, *f)
}

// HasFactor reports whether somebody has a second factor.
func (a *App) HasFactor(ctx context.Context, name string) (bool, error) {
	f, err := a.Book.Factor(ctx, name)
	return f != nil, err
}

// ShowCode lets somebody who signed in by a password begin a session, by a code of their
// second factor where they have one.
func (a *App) ShowCode(ctx context.Context, p Person, code string) (Person, error) {
	var wrong error
	err := a.Book.Write(ctx, func(tx *store.Tx) error {
		wrong = nil // of a run before
		err := a.useCode(tx, p.Name, code)
		if sootline.ErrorCode(err) == sootline.Invalid {
			wrong = err
			return a.journalBy(tx, "", SignInFailed, p.Name, "a wrong code, or none")
		}
		return err
	})
	if err == nil {
		err = wrong
	}
	p.shown = err == nil
	return p, err
}

func wrongCode() error {
	return sootline.Errorf(sootline.Invalid, "type the one that the program shows now", "the code of the second factor is missing, wrong, or was used already")
}

// codeStep gives the half minute of a code, later than the one that was used last.
func codeStep(secret, code string, now time.Time, used int64) (int64, bool) {
	code = strings.Join(strings.Fields(code), "")
	for step := now.Unix()/halfMinute - 1; step <= now.Unix()/halfMinute+1; step++ {
		want, err := totp.GenerateCode(secret, time.Unix(step*halfMinute, 0))
		if err == nil && step > used && subtle.ConstantTimeCompare([]byte(want), []byte(code)) == 1 {
			return step, true
		}
	}
	return 0, false
}
