package web

import (
	"context"
	"html/template"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// accountPage is what somebody has given out in their own name: where they are
// signed in, their phones, their addresses for calendars.
type accountPage struct {
	Frame
	Name, Role string
	Known      bool // the book knows the person, who signs in by a password
	Sessions   []sessionLine
	Phones     []phoneLine
	Least      int
	Idle, Days int // when a session ends: hours idle, days in all
	Changed    bool
	Passkeys   []passkeyLine
	NoPasskeys string // why there are none here; empty: there are
	Factor     bool   // there is a second factor
	Secret     string // of one that is being set up
	Picture    template.HTML
	Trouble    string
	WayOut     []wayLine
}

type passkeyLine struct{ ID, Name, Host, Since, Used string }

// addPasskeys lists one's passkeys, and says where there can be none.
func (p *accountPage) addPasskeys(r *http.Request, s *Server, a *app.App) error {
	if _, err := app.AtPlace(s.origin(r)); err != nil {
		p.NoPasskeys = sentence(err)
	}
	if !p.Known {
		return nil
	}
	keys, err := a.Passkeys(r.Context())
	for _, k := range keys {
		p.Passkeys = append(p.Passkeys, passkeyLine{k.ID, k.Name, k.Host, day(k.Added, s.Zone), local(k.Used, s.Zone)})
	}
	return err
}

type sessionLine struct {
	ID, From, Device, Began, Seen string
	Here                          bool
}

func (s *Server) showAccount(w http.ResponseWriter, r *http.Request) error {
	page, err := s.accountPage(r)
	if err != nil {
		return err
	}
	page.Changed = s.saidBefore(r) != ""
	return s.show(w, r, http.StatusOK, "account.html", page)
}

func (s *Server) accountPage(r *http.Request) (*accountPage, error) {
	me, a := visitorOf(r), s.as(r)
	longest := app.LongestEnd
	if me.Role.May(sootline.Manager) {
		longest = app.ManagerEnd
	}
	page := &accountPage{
		Frame: Frame{Title: "Your account"}, Name: me.Name, Role: string(me.Role), Known: me.signedIn, Least: app.LeastPassword,
		Idle: int(app.IdleEnd.Hours()), Days: int(longest.Hours()) / 24,
	}
	var err error
	if page.Factor, err = a.HasFactor(r.Context(), me.Name); err != nil {
		return nil, err
	}
	if err := page.addPasskeys(r, s, a); err != nil {
		return nil, err
	}
	sessions, err := a.Sessions(r.Context())
	if err != nil {
		return nil, err
	}
	for _, in := range sessions {
		page.Sessions = append(page.Sessions, sessionLine{in.ID, in.From, in.Device, local(in.Began, s.Zone), local(in.Seen, s.Zone), in.ID == me.session})
	}
	phones, err := s.as(r).Phones(r.Context())
	if err != nil {
		return nil, err
	}
	for i := range phones {
		if !store.SameName(phones[i].Person, me.Name) {
			continue // a manager's list is that of all
		}
		line, err := s.phoneLine(r, &phones[i])
		if err != nil {
			return nil, err
		}
		page.Phones = append(page.Phones, line)
	}
	return page, nil
}

// changeAccount changes one's own password, or ends sessions and phones of one's own.
func (s *Server) changeAccount(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	me, a := visitorOf(r), s.as(r)
	var err error
	switch do := r.PostForm.Get("do"); do {
	case "password":
		if err = s.changeOwnPassword(r, me, a); err == nil {
			s.goSaying(w, r, "/account", "the password is another")
			return nil
		}
	case "factor":
		return s.beginFactor(w, r, a)
	case "factor-set":
		err = s.changeWayIn(r, me, a, func() error {
			return a.SetFactor(r.Context(), r.PostForm.Get("secret"), r.PostForm.Get("code"), r.PostForm.Get("present"))
		})
	case "factor-off":
		err = s.changeWayIn(r, me, a, func() error { return a.DropOwnFactor(r.Context(), proofIn(r)) })
	case "end":
		err = a.EndSession(r.Context(), r.PostForm.Get("session"))
	case "passkey-off":
		err = s.changeWayIn(r, me, a, func() error { return a.DropPasskey(r.Context(), r.PostForm.Get("passkey"), proofIn(r)) })
	case "phone-off":
		err = a.DropPhone(r.Context(), r.PostForm.Get("station"))
	case "everywhere":
		err = a.SignOutEverywhere(r.Context(), me.Name)
	default:
		err = sootline.Errorf(sootline.Invalid, "open the page again", "%q is nothing that is done with an account", do)
	}
	if err == nil {
		http.Redirect(w, r, "/account", http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page, wrong := s.accountPage(r)
	if wrong != nil {
		return wrong
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "account.html", page)
}

// changeOwnPassword changes the password and signs this browser in anew: whoever
// changes it stays, all others go.
func (s *Server) changeOwnPassword(r *http.Request, me visitor, a *app.App) error {
	err := withPassword(r, func(password string) error {
		return s.ownPassword(r.Context(), a, proofIn(r), password)
	})
	if err != nil {
		return err
	}
	return s.continueSession(r, a, me)
}

// continueSession signs this browser in anew, after what ended all sessions.
func (s *Server) continueSession(r *http.Request, a *app.App, me visitor) error {
	p, err := a.Continue(r.Context(), me.Name)
	if err != nil {
		return err
	}
	return s.beginSession(r, a, p)
}

// beginFactor shows the secret of a second factor, which is kept once a code shows that
// it has arrived.
func (s *Server) beginFactor(w http.ResponseWriter, r *http.Request, a *app.App) error {
	page, err := s.accountPage(r)
	if err != nil {
		return err
	}
	var address string
	if page.Secret, address, err = a.NewFactor(); err != nil {
		return err
	}
	if page.Picture, err = qrPicture(address); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "account.html", page)
}

// ownPassword changes a password; the present one is guessed as little as at the door.
func (s *Server) ownPassword(ctx context.Context, a *app.App, proof app.Proof, password string) error {
	return s.guessing(a, func() error { return a.ChangeOwnPassword(ctx, proof, password) })
}

// proofIn reads by what a form shows that the account is one's own.
func proofIn(r *http.Request) app.Proof {
	return app.Proof{Password: r.PostForm.Get("present"), Code: r.PostForm.Get("code")}
}

// changeWayIn changes factor or passkeys, and signs this browser in anew: it stays, all
// others go.
func (s *Server) changeWayIn(r *http.Request, me visitor, a *app.App, change func() error) error {
	if err := s.guessing(a, change); err != nil {
		return err
	}
	return s.continueSession(r, a, me)
}

// guessing bounds what could be used to guess the password of whoever acts.
func (s *Server) guessing(a *app.App, do func() error) error {
	right, err := s.tries.begin(a.Who.From, a.Who.Name, time.Now()) // real time, as at the door
	if err != nil {
		return err
	}
	if err := do(); err != nil {
		return err
	}
	right()
	return nil
}
