package app

import (
	"context"
	"time"

	"sootline"
	"sootline/internal/store"
)

// SecurityWhat is what a line of the journal of security events tells of.
type SecurityWhat string

// What the journal tells of.
const (
	SignedInNow         SecurityWhat = "signed in"
	SignInFailed        SecurityWhat = "sign-in failed"
	SignedOut           SecurityWhat = "signed out"
	SignedOutEverywhere SecurityWhat = "signed out everywhere"
	PersonAdded         SecurityWhat = "person added"
	PersonRemoved       SecurityWhat = "person removed"
	RoleChanged         SecurityWhat = "role changed"
	ScopeChanged        SecurityWhat = "sites changed"
	PasswordChanged     SecurityWhat = "password changed"
	FactorSet           SecurityWhat = "second factor set up"
	FactorDropped       SecurityWhat = "second factor taken away"
	PasskeyAdded        SecurityWhat = "passkey added"
	PasskeyDropped      SecurityWhat = "passkey taken off"
	PersonInvited       SecurityWhat = "person invited"
	InvitationTaken     SecurityWhat = "invitation taken up"
	InvitationDropped   SecurityWhat = "invitation taken back"
	TokenAdded          SecurityWhat = "token added"
	TokenRemoved        SecurityWhat = "token removed"
	PhoneAdded          SecurityWhat = "phone added"
	PhoneTakenOff       SecurityWhat = "phone taken off"
	CalendarAdded       SecurityWhat = "calendar address made"
	LogImported         SecurityWhat = "log imported"
	LinesExchanged      SecurityWhat = "lines exchanged"
	BookRestored        SecurityWhat = "book restored"
)

// SecurityEvent is a line of the journal of security events.
type SecurityEvent struct {
	Seq    int64
	At     time.Time
	What   SecurityWhat
	By     string // empty: nobody that the book knows
	Whom   string // the person, phone or site it was done to
	Detail string
	From   string // the network address, or the command line
}

// journal notes what whoever acts does, in the transaction that does it.
func (a *App) journal(tx *store.Tx, what SecurityWhat, whom, detail string) error {
	return a.journalBy(tx, a.Who.Name, what, whom, detail)
}

func (a *App) journalBy(tx *store.Tx, by string, what SecurityWhat, whom, detail string) error {
	return tx.AddSecurityEvent(store.SecurityEvent{
		At: sootline.Instant(a.Now()), What: string(what), Actor: by, Whom: whom, Detail: detail, Origin: a.Who.From,
	})
}

// MostEvents is how many lines of the journal are given at a time.
const MostEvents = 10000

// SecurityEvents lists the journal before a line's number, the latest first; 0: from
// its end. A journal that is not whole is told of by the second error, beside what
// it holds.
func (a *App) SecurityEvents(ctx context.Context, before int64, most int) (events []SecurityEvent, broken, err error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return nil, nil, err
	}
	if most <= 0 || most > MostEvents {
		most = MostEvents
	}
	kept, err := a.Book.SecurityEvents(ctx, before, most)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range kept {
		events = append(events, SecurityEvent{e.Seq, e.At, SecurityWhat(e.What), e.Actor, e.Whom, e.Detail, e.Origin})
	}
	if broken = a.Book.CheckSecurityEvents(ctx); broken != nil && sootline.ErrorCode(broken) != sootline.Damaged {
		return nil, nil, broken
	}
	return events, broken, nil
}

// NoteRestored notes in a book that it was just restored, from which backup, and ends
// all that was given out before: a phone that was taken off since, or a session that
// ended, must not live again.
func (a *App) NoteRestored(ctx context.Context, backup string) error {
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		people, err := tx.People()
		if err != nil {
			return err
		}
		for _, p := range people {
			p.Mark = a.newMark()
			if err := tx.ChangePerson(p); err != nil {
				return err
			}
		}
		phones, err := tx.Phones()
		if err != nil {
			return err
		}
		for _, p := range phones { // of owners that the book does not know
			if _, err := tx.DropPhone(p.Station); err != nil {
				return err
			}
		}
		if err := dropGiven(tx); err != nil {
			return err
		}
		return a.journal(tx, BookRestored, "", "from "+backup)
	})
}

// dropGiven ends the tokens and invitations, also those of makers that the book does
// not know.
func dropGiven(tx *store.Tx) error {
	tokens, err := tx.Tokens()
	if err != nil {
		return err
	}
	for _, t := range tokens {
		if _, err := tx.DropToken(t.Name); err != nil {
			return err
		}
	}
	invitations, err := tx.Invitations()
	if err != nil {
		return err
	}
	for _, in := range invitations {
		if _, err := tx.DropInvitation(in.Key); err != nil {
			return err
		}
	}
	return nil
}
