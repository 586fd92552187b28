package app

import (
	"context"
	"encoding/base64"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Person is somebody who may sign in, as others may know of them.
type Person struct {
	Name  string
	Role  sootline.Role
	Added time.Time
	Scope Scope
	mark  string // what is given out to them holds as long as it stands
	shown bool   // signing in, they showed a code of their second factor, or have none
}

func personOf(p *store.Person) Person {
	return Person{Name: p.Name, Role: sootline.Role(p.Role), Added: p.Added, Scope: scopeOf(p.Scope), mark: p.Mark}
}

// AddPerson lets somebody sign in. A name that is known, whatever the case of its
// letters, is refused: role and password are changed by use cases of their own. A
// customer is bound to no site until some are given.
func (a *App) AddPerson(ctx context.Context, name string, role sootline.Role, password string) error {
	return a.AddPersonFor(ctx, name, role, Scope{}, password)
}

// AddPersonFor is AddPerson of somebody who is bound to sites.
func (a *App) AddPersonFor(ctx context.Context, name string, role sootline.Role, scope Scope, password string) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	name, err := newcomer(name, role)
	if err != nil {
		return err
	}
	if err := goodPassword(name, password); err != nil {
		return err
	}
	hash := a.hash(password)
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		kept, err := a.checkScope(tx, role, scope)
		if err != nil {
			return err
		}
		said, err := a.addPerson(tx, store.Person{Name: name, Role: string(role), Password: hash, Scope: kept})
		if err != nil {
			return err
		}
		return a.journal(tx, PersonAdded, name, said)
	})
}

// newcomer checks name and role of somebody new.
func newcomer(name string, role sootline.Role) (string, error) {
	name, err := sootline.PersonName(name)
	if err == nil {
		err = isRole(role)
	}
	return name, err
}

// addPerson keeps somebody new, and says as what.
func (a *App) addPerson(tx *store.Tx, p store.Person) (said string, err error) {
	if err := freePerson(tx, p.Name); err != nil {
		return "", err
	}
	p.Mark, p.Added = a.newMark(), a.Now()
	if _, err := tx.AddPerson(p); err != nil {
		return "", err
	}
	return "as " + p.Role + ", " + sayScope(tx, p.Scope), nil
}

// freePerson refuses a name that somebody has, or a token: entries go by it.
func freePerson(tx *store.Tx, name string) error {
	p, err := tx.Person(name)
	if err == nil && p != nil {
		err = sootline.Errorf(sootline.Conflict, "change the role or the password of that person, or choose another name", "%s is known already", name)
	}
	if err != nil {
		return err
	}
	t, err := tx.Token(name)
	if err == nil && t != nil {
		err = sootline.Errorf(sootline.Conflict, "choose another name, or remove that token", "a token is named %s", name)
	}
	return err
}

func isRole(role sootline.Role) error {
	if slices.Contains(sootline.Roles(), role) {
		return nil
	}
	return sootline.Errorf(sootline.Invalid, "the roles are customer, reader, technician and manager", "%q is not a role", role).Do(sootline.Give, "role", string(sootline.Technician))
}

// newMark makes a mark that no other person had.
func (a *App) newMark() string {
	random := a.Random()
	return base64.RawURLEncoding.EncodeToString(random[:])
}

// ChangeRole gives somebody another role. All that was given out to them ends:
// they sign in anew, and add their phones anew. Who becomes a customer, and was bound
// to no sites, sees none until some are given.
func (a *App) ChangeRole(ctx context.Context, name string, role sootline.Role) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	if err := isRole(role); err != nil {
		return err
	}
	return a.changePerson(ctx, name, func(tx *store.Tx, p *store.Person) (SecurityWhat, string, error) {
		was := p.Role
		if was == string(role) {
			return "", "", sootline.Errorf(sootline.Conflict, "choose another role", "%s is %s already", p.Name, role)
		}
		p.Role = string(role)
		if role == sootline.Customer && !p.Scope.Bound {
			p.Scope.Bound = true
			if err := tx.PutPersonScope(p.Name, p.Scope); err != nil {
				return "", "", err
			}
		}
		return RoleChanged, "from " + was + " to " + string(role), leavesManager(tx, p.Name, role)
	})
}

// ChangeScope binds somebody to sites, or to none. It holds from their next request
// on; what was given out to them stays.
func (a *App) ChangeScope(ctx context.Context, name string, scope Scope) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		p, err := knownPerson(tx, name)
		if err != nil {
			return err
		}
		if !scope.Bound && p.Role == string(sootline.Customer) {
			return sootline.Errorf(sootline.Conflict, "name the sites, or give another role first", "%s is a customer, who is bound to sites", p.Name)
		}
		kept, err := a.checkScope(tx, sootline.Role(p.Role), scope)
		if err != nil {
			return err
		}
		if kept.Bound {
			if err := leavesManager(tx, p.Name, sootline.Stranger); err != nil {
				return err
			}
		}
		if err := tx.PutPersonScope(p.Name, kept); err != nil {
			return err
		}
		return a.journal(tx, ScopeChanged, p.Name, "from "+sayScope(tx, p.Scope)+" to "+sayScope(tx, kept))
	})
}

// ChangePassword gives somebody another password, as a manager does for who forgot
// it. All that was given out to them ends.
func (a *App) ChangePassword(ctx context.Context, name, password string) error {
	if err := a.mayChangeWayIn(name); err != nil {
		return err
	}
	return a.setPassword(ctx, name, password, "by a manager", func(*store.Tx) error { return nil })
}

// AtMachine is from where somebody acts who has the book's file itself: there nothing
// that the book asks for keeps anybody out.
const AtMachine = "command line"

// mayChangeWayIn refuses a change of how somebody gets in to all but managers, and to
// them of their own: that is for who shows the present password.
func (a *App) mayChangeWayIn(name string) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	if store.SameName(name, a.Who.Name) && a.Who.From != AtMachine {
		return sootline.Errorf(sootline.Forbidden, "do it on your account, by your present password; who lost the device asks another manager, or uses the command line", "%s is yourself", a.Who.Name)
	}
	return nil
}

// Proof is by what somebody shows that an account is theirs, before they change how
// they get in.
type Proof struct{ Password, Code string } // Code is of the second factor, where they have one

// ChangeOwnPassword gives whoever acts another password, once they have shown that
// they know the present one. All that was given out to them ends.
func (a *App) ChangeOwnPassword(ctx context.Context, proof Proof, password string) error {
	p, err := a.ownAccount(ctx, proof.Password)
	if err != nil {
		return err
	}
	return a.setPassword(ctx, p.Name, password, "by themselves", func(tx *store.Tx) error { return a.useCode(tx, p.Name, proof.Code) })
}

// ownAccount gives the account of whoever acts, once they have shown that they know
// its password.
func (a *App) ownAccount(ctx context.Context, password string) (*store.Person, error) {
	if err := a.hasAccount(); err != nil {
		return nil, err
	}
	p, err := a.Book.Person(ctx, a.Who.Name)
	if err != nil {
		return nil, err
	}
	if p == nil {
		return nil, noPerson(a.Who.Name)
	}
	if !matches(p.Password, password) {
		return nil, sootline.Errorf(sootline.Invalid, "type it again; a manager can give another one", "this is not the present password")
	}
	return p, nil
}

// hasAccount refuses what only somebody who signs in has.
func (a *App) hasAccount() error {
	if a.Who.Program {
		return sootline.Errorf(sootline.Forbidden, "sign in with name and password", "a program by its token has no account")
	}
	return a.needs(sootline.Reader)
}

func (a *App) setPassword(ctx context.Context, name, password, how string, first func(*store.Tx) error) error {
	if err := goodPassword(name, password); err != nil {
		return err
	}
	hash := a.hash(password)
	return a.changePerson(ctx, name, func(tx *store.Tx, p *store.Person) (SecurityWhat, string, error) {
		if err := first(tx); err != nil {
			return "", "", err
		}
		if matches(p.Password, password) {
			return "", "", sootline.Errorf(sootline.Invalid, "think of a new one", "this is the present password")
		}
		p.Password = hash
		return PasswordChanged, how, nil
	})
}

// SignOutEverywhere ends all sessions, phones and addresses for calendars of
// whoever acts or, by a manager, of somebody else.
func (a *App) SignOutEverywhere(ctx context.Context, name string) error {
	may := a.Who.MayKeepBook
	if store.SameName(name, a.Who.Name) {
		may = a.hasAccount
	}
	if err := may(); err != nil {
		return err
	}
	return a.changePerson(ctx, name, func(*store.Tx, *store.Person) (SecurityWhat, string, error) {
		return SignedOutEverywhere, "", nil
	})
}

// RemovePerson takes somebody out of those who may sign in, and ends all that was
// given out to them. What they wrote stays, by their name. Who is asked in and has
// not come yet is asked in no more.
func (a *App) RemovePerson(ctx context.Context, name string) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	err := a.removePerson(ctx, name)
	if sootline.ErrorCode(err) == sootline.NotFound {
		if back := a.TakeBack(ctx, name); sootline.ErrorCode(back) != sootline.NotFound {
			return back
		}
	}
	return err
}

func (a *App) removePerson(ctx context.Context, name string) error {
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		p, err := knownPerson(tx, name)
		if err != nil {
			return err
		}
		return a.takeOff(tx, *p)
	})
}

// takeOff takes somebody out of those who may sign in, unless nobody would be left to look after the book.
func (a *App) takeOff(tx *store.Tx, p store.Person) error {
	err := leavesManager(tx, p.Name, sootline.Stranger)
	if err == nil {
		err = tx.DropPerson(p.Name)
	}
	if err != nil {
		return err
	}
	return a.journal(tx, PersonRemoved, p.Name, "who was "+p.Role)
}

// changePerson changes what is known of somebody, under a new mark.
func (a *App) changePerson(ctx context.Context, name string, change func(*store.Tx, *store.Person) (SecurityWhat, string, error)) error {
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		p, err := knownPerson(tx, name)
		if err != nil {
			return err
		}
		what, detail, err := change(tx, p)
		if err != nil {
			return err
		}
		p.Mark = a.newMark()
		if err := tx.ChangePerson(*p); err != nil {
			return err
		}
		return a.journal(tx, what, p.Name, detail)
	})
}

func knownPerson(tx *store.Tx, name string) (*store.Person, error) {
	p, err := tx.Person(name)
	if err == nil && p == nil {
		err = noPerson(name)
	}
	return p, err
}

func noPerson(name string) error {
	return sootline.Errorf(sootline.NotFound, "the list of people shows the names", "the book knows nobody named %q", name)
}

// leavesManager refuses a role for somebody, or none, after which no manager of all
// sites would be left: nobody could look after people any more.
func leavesManager(tx *store.Tx, name string, role sootline.Role) error {
	people, err := tx.People()
	if err != nil || role.May(sootline.Manager) {
		return err
	}
	was, others := false, false
	for _, p := range people {
		switch manager := sootline.Role(p.Role).May(sootline.Manager) && !p.Scope.Bound; {
		case store.SameName(p.Name, name):
			was = manager
		case manager:
			others = true
		}
	}
	if was && !others {
		return sootline.Errorf(sootline.Conflict, "make somebody else manager first", "%s is the last manager of all sites, and nobody could look after people any more", name)
	}
	return nil
}

// People lists those who may sign in.
func (a *App) People(ctx context.Context) ([]Person, error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return nil, err
	}
	kept, err := a.Book.People(ctx)
	if err != nil {
		return nil, err
	}
	people := make([]Person, len(kept))
	for i := range kept {
		people[i] = personOf(&kept[i])
	}
	return people, nil
}

// Person finds somebody who may sign in; nil when there is no such name.
func (a *App) Person(ctx context.Context, name string) (*Person, error) {
	p, err := a.Book.Person(ctx, name)
	if err != nil || p == nil {
		return nil, err
	}
	person := personOf(p)
	return &person, nil
}
