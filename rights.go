package sootline

import "strings"

// Forbidden is the code of an error about what somebody may not do.
const Forbidden Code = "forbidden"

// Actor is who acts, and through what.
type Actor struct {
	Name    string
	Role    Role
	Station string // what writes: a laptop, a phone, the server
	Phone   bool   // it is a phone that shows its key, which may be left on a ladder: see [Actor.MayDo]
	HandsIn bool   // it hands in what was captured while walking: only kinds that are
	Attends bool   // it opens or closes a visit
	From    string // where it is reached, for the journal of security events
	Scope   Scope  // the sites that it has to do with
	Program bool   // it is a program by its token: it has no account
}

// MayDo reports whether the actor may do what is more than an entry: take listings
// in, keep sites, people and phones. A phone reads, hands in what it captured, and
// opens and closes its visit; nothing else is done by its key.
func (a Actor) MayDo(role Role) error {
	if !a.Role.May(role) {
		return Errorf(Forbidden, "ask somebody of that role", "this is for the role of %s", role)
	}
	return a.mayByKey(a.HandsIn)
}

// mayByKey refuses what a phone may not do by its key alone.
func (a Actor) mayByKey(captures bool) error {
	if a.Phone && !captures {
		return Errorf(Forbidden, "sign in with name and password", "a phone by its key captures, and opens and closes a visit, and nothing else")
	}
	return nil
}

// MayWrite reports whether the actor may add an entry that says this. What an
// amendment names is for [Actor.MayAmend] to judge.
func (a Actor) MayWrite(body Body) error {
	row, ok := findKind(body.Kind())
	switch {
	case !ok:
		return Errorf(Newer, "it may come from a later Sootline", "kind %q is not known", clip(string(body.Kind())))
	case row.byProgram:
		return Errorf(Forbidden, "it is written when what it tells of is done", "an entry of kind %s is written by the program alone", row.kind)
	}
	return a.mayWriteRow(row)
}

// MayNote reports the same for an entry that the program writes while the actor
// does what it tells of: issues a paper, imports a log.
func (a Actor) MayNote(body Body) error {
	row, _ := findKind(body.Kind())
	return a.mayWriteRow(row)
}

func (a Actor) mayWriteRow(row kindRow) error {
	switch {
	case !a.Role.May(row.role):
		return Errorf(Forbidden, "ask somebody of that role", "an entry of kind %s is for the role of %s", row.kind, row.role)
	case a.HandsIn && !row.phone:
		return Errorf(Forbidden, "write it on the site's pages", "an entry of kind %s is not captured on a phone", row.kind)
	}
	return a.mayByKey(a.HandsIn || a.Attends && attended(row.kind))
}

// attended reports whether opening or closing a visit writes entries of the kind.
func attended(kind Kind) bool {
	return kind == VisitKind || kind == DisabledKind || kind == RestoredKind
}

// Amended is what an amendment is about: the entry that it names first and,
// where that is an amendment itself, what it names, and so on to an entry that
// is none; with the amendment of the first that holds now, or nil. Author gives
// the role of who wrote an entry, by name; [Stranger] is nobody of the book, whose
// word is a manager's to change, so that nobody amends by guess.
type Amended struct {
	Chain    []Entry
	Standing *Entry
	Founds   bool // the first of the chain is the entry that opened the site
	Author   func(name string) Role
}

// MayAmend reports whether the actor may correct or withdraw an entry. Whoever
// amends must be allowed to write all that it changes and all that it says. What
// a manager wrote or put right is a manager's to change. A phone amends what was
// written on it.
func (a Actor) MayAmend(of Amended, amendment Body) error {
	target := of.Chain[0]
	if _, corrects := amendment.(Corrected); corrects {
		if err := Correctable(target.Body); err != nil {
			return err
		}
	}
	if err := of.keepsSite(amendment); err != nil {
		return err
	}
	for _, body := range of.bodies(amendment) {
		row, _ := findKind(body.Kind())
		if row.kind == TakenKind {
			return Errorf(Forbidden, "take it back whole", "an entry of kind %s is not amended", row.kind).Do(UndoTake, target.ID.String())
		}
		if row.byProgram {
			return Errorf(Forbidden, "write a note that says what is wrong with it", "an entry of kind %s is not amended", row.kind)
		}
		if err := a.mayWriteRow(row); err != nil {
			return err
		}
	}
	if a.Phone && StationOf(target.Station) != StationOf(a.Station) {
		return Errorf(Forbidden, "amend it on the site's pages", "a phone amends only what was written on it")
	}
	if a.Role.May(Manager) {
		return nil
	}
	return a.mayChangeWordsOf(of.hands(), of.Author)
}

// mayChangeWordsOf refuses to change what a manager wrote or put right, or somebody whom
// the book does not know.
func (a Actor) mayChangeWordsOf(hands []*Entry, author func(name string) Role) error {
	for _, e := range hands {
		switch role := author(e.By); {
		case e.By == a.Name:
		case role == Stranger:
			return Errorf(Forbidden, "ask a manager", "%q wrote this or put it right, whom this book does not know; only a manager may change that", clip(e.By))
		case role.May(Manager):
			return Errorf(Forbidden, "ask a manager", "a manager, %s, wrote this or put it right, and only a manager may change that", clip(e.By))
		}
	}
	return nil
}

// ActAmended is an act of taking in that is to be taken back whole: the entry that
// tells of it, the kinds of what would be withdrawn, and the amendments of these that
// hold. Author is as of [Amended].
type ActAmended struct {
	Act    *Entry
	Kinds  []Kind
	Since  []*Entry
	Author func(name string) Role
}

// MayTakeBack reports whether the actor may take an act back whole, as [Actor.MayAmend]
// does for one entry. All of it is the word of whoever did it, whomever its rows name.
func (a Actor) MayTakeBack(of ActAmended) error {
	for _, kind := range append([]Kind{TakenKind, WithdrawnKind}, of.Kinds...) {
		row, _ := findKind(kind)
		if err := a.mayWriteRow(row); err != nil {
			return err
		}
	}
	if a.Role.May(Manager) {
		return nil
	}
	return a.mayChangeWordsOf(append([]*Entry{of.Act}, of.Since...), of.Author)
}

// Correctable refuses to correct an amendment.
func Correctable(body Body) error {
	if target := Amends(body); !target.Zero() {
		return Errorf(Forbidden, "withdraw it, then correct the entry itself", "an entry of kind %s is not corrected", body.Kind()).Do(CorrectEntry, target.String())
	}
	return nil
}

// keepsSite refuses to take back the entry that opened the site, or to make
// something else of it: without it the site has no name and no clock.
func (of Amended) keepsSite(amendment Body) error {
	if _, withdraws := amendment.(Withdrawn); withdraws && of.Chain[0].Body.Kind() == OpenedKind {
		return Errorf(Conflict, "correct what is wrong in it", "what is said of a site is put right, and not taken back").Do(CorrectEntry, of.Chain[0].ID.String())
	}
	if !of.Founds {
		return nil
	}
	if c, ok := amendment.(Corrected); ok {
		if said, ok := c.Body.(Opened); ok && strings.TrimSpace(said.Name) != "" {
			return nil
		}
	}
	return Errorf(Conflict, "correct what is wrong in it, and leave the site its name", "this entry opened the site, and the site does not stand without it").Do(CorrectEntry, of.Chain[0].ID.String())
}

// hands lists the entries by whoever had a hand in what is amended.
func (of Amended) hands() []*Entry {
	var hands []*Entry
	for i := range of.Chain {
		hands = append(hands, &of.Chain[i])
	}
	if of.Standing != nil {
		hands = append(hands, of.Standing)
	}
	return hands
}

// bodies lists all that an amendment touches: what the entries of the chain say,
// and what shall be said instead.
func (of Amended) bodies(amendment Body) []Body {
	var bodies []Body
	add := func(body Body) {
		bodies = append(bodies, body)
		if c, ok := body.(Corrected); ok {
			bodies = append(bodies, c.Body)
		}
	}
	for i := range of.Chain {
		add(of.Chain[i].Body)
	}
	add(amendment)
	return bodies
}
