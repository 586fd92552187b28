package api

import (
	"cmp"
	"context"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// NewPerson lets somebody sign in.
type NewPerson struct {
	Body struct {
		Name     string `json:"name" minLength:"1" maxLength:"80"`
		Role     string `json:"role" enum:"customer,reader,technician,manager"`
		Password string `json:"password" writeOnly:"true" doc:"At least 15 characters"`
		InScope
	}
}

// InScope binds somebody to sites.
type InScope struct {
	Sites     []string `json:"sites,omitempty" doc:"Bound to these sites, by id or name; left out with customers: bound to none, so that all sites are theirs, or none where the role is customer"`
	Customers []string `json:"customers,omitempty" doc:"Bound to all sites of these customers, now and later"`
}

func (in InScope) read(ctx context.Context, a *app.App) (app.Scope, error) {
	if len(in.Sites)+len(in.Customers) == 0 {
		return app.Scope{}, nil
	}
	return a.ScopeNamed(ctx, in.Sites, in.Customers)
}

// NewScope binds somebody to other sites.
type NewScope struct {
	OfPerson
	Body struct {
		All       bool     `json:"all,omitempty" doc:"All sites; sites and customers are then left out"`
		Sites     []string `json:"sites,omitempty" doc:"By id or name; none, and no customers: no site at all"`
		Customers []string `json:"customers,omitempty" doc:"All sites of these customers, now and later"`
	}
}

// NewInvitation asks somebody in.
type NewInvitation struct {
	Body struct {
		Name string `json:"name" minLength:"1" maxLength:"80"`
		Role string `json:"role" enum:"customer,reader,technician,manager"`
		InScope
	}
}

// Invited is the address at which somebody chooses a password.
type Invited struct {
	Address string `json:"address" doc:"After the address of the server. It is good once, for seven days, and is given this once"`
}

// NewToken lets a program in.
type NewToken struct {
	Body struct {
		Name  string    `json:"name" minLength:"1" maxLength:"80" doc:"What it writes goes by this name"`
		Role  string    `json:"role,omitempty" enum:"reader,technician" doc:"Left out: reader"`
		Until time.Time `json:"until" doc:"A year from now at most"`
		InScope
	}
}

// MadeToken is a token that was just made.
type MadeToken struct {
	Token string `json:"token" doc:"It is given this once"`
}

// OfToken names a token.
type OfToken struct {
	Name string `path:"name" maxLength:"80"`
}

// OfPerson names somebody who may sign in.
type OfPerson struct {
	Name string `path:"name" maxLength:"80" doc:"The name, whatever the case of its letters"`
}

// NewRole gives somebody another role.
type NewRole struct {
	OfPerson
	Body struct {
		Role string `json:"role" enum:"customer,reader,technician,manager"`
	}
}

// NewPassword gives somebody another password.
type NewPassword struct {
	OfPerson
	Body struct {
		Password string `json:"password" writeOnly:"true" doc:"At least 15 characters"`
	}
}

// OwnPassword gives whoever asks another password.
type OwnPassword struct {
	Body struct {
		Present  string `json:"present" writeOnly:"true" maxLength:"1000"`
		Code     string `json:"code,omitempty" writeOnly:"true" maxLength:"10" doc:"Of the second factor, where there is one"`
		Password string `json:"password" writeOnly:"true" doc:"At least 15 characters"`
	}
}

// OfSession names one of the sessions of whoever asks.
type OfSession struct {
	Session string `path:"session" maxLength:"100"`
}

// EventsQuery chooses lines of the journal of security events.
type EventsQuery struct {
	Before int64 `query:"before" minimum:"0" doc:"Only lines of smaller numbers; left out: from the end"`
	Limit  int   `query:"limit" minimum:"1" maximum:"10000" default:"1000"`
}

const everythingEnds = ". All sessions, phones and addresses for calendars of that person end at once"

func people(a *API) {
	list := func(ctx context.Context) (shape.People, error) {
		known, err := a.as(ctx).People(ctx)
		return shape.OfPeople(known), err
	}
	then := func(ctx context.Context, err error) (shape.People, error) {
		if err != nil {
			return shape.People{}, err
		}
		return list(ctx)
	}
	operation(a, "list-people", sootline.Manager, http.MethodGet, "/people", "Who may sign in", func(ctx context.Context, _ *None) (shape.People, error) { return list(ctx) })
	operation(a, "put-person", sootline.Manager, http.MethodPut, "/people", "Let somebody sign in; a name that is known is a conflict", func(ctx context.Context, in *NewPerson) (shape.People, error) {
		scope, err := in.Body.read(ctx, a.as(ctx))
		if err != nil {
			return shape.People{}, err
		}
		return then(ctx, a.as(ctx).AddPersonFor(ctx, in.Body.Name, sootline.Role(in.Body.Role), scope, in.Body.Password))
	})
	operation(a, "change-role", sootline.Manager, http.MethodPut, "/people/{name}/role", "Give somebody another role"+everythingEnds, func(ctx context.Context, in *NewRole) (shape.People, error) {
		return then(ctx, a.as(ctx).ChangeRole(ctx, in.Name, sootline.Role(in.Body.Role)))
	})
	operation(a, "change-sites", sootline.Manager, http.MethodPut, "/people/{name}/sites", "Bind somebody to sites, or to none; it holds from their next request on", func(ctx context.Context, in *NewScope) (shape.People, error) {
		scope, err := a.as(ctx).ScopeNamed(ctx, in.Body.Sites, in.Body.Customers)
		if err != nil {
			return shape.People{}, err
		}
		scope.Bound = !in.Body.All
		return then(ctx, a.as(ctx).ChangeScope(ctx, in.Name, scope))
	})
	operation(a, "change-password", sootline.Manager, http.MethodPut, "/people/{name}/password", "Give somebody another password"+everythingEnds, func(ctx context.Context, in *NewPassword) (shape.People, error) {
		return then(ctx, a.as(ctx).ChangePassword(ctx, in.Name, in.Body.Password))
	})
	operation(a, "sign-out-person", sootline.Manager, http.MethodPost, "/people/{name}/sign-out", "Sign somebody out everywhere"+everythingEnds, func(ctx context.Context, in *OfPerson) (shape.People, error) {
		return then(ctx, a.as(ctx).SignOutEverywhere(ctx, in.Name))
	})
	operation(a, "remove-person", sootline.Manager, http.MethodDelete, "/people/{name}", "Take somebody out of those who may sign in; what they wrote stays"+everythingEnds, func(ctx context.Context, in *OfPerson) (shape.People, error) {
		return then(ctx, a.as(ctx).RemovePerson(ctx, in.Name))
	})
	operation(a, "list-security-events", sootline.Manager, http.MethodGet, "/security-events", "The journal of security events, the latest first", func(ctx context.Context, in *EventsQuery) (shape.SecurityEvents, error) {
		events, broken, err := a.as(ctx).SecurityEvents(ctx, in.Before, in.Limit)
		return shape.OfSecurityEvents(events, broken), err
	})
}

// given is what a manager gives out: invitations, and tokens for programs.
func given(a *API) {
	operation(a, "invite-person", sootline.Manager, http.MethodPost, "/people/invitations", "Ask somebody in, who chooses a password of their own", func(ctx context.Context, in *NewInvitation) (Invited, error) {
		scope, err := in.Body.read(ctx, a.as(ctx))
		if err != nil {
			return Invited{}, err
		}
		key, err := a.as(ctx).InvitePerson(ctx, in.Body.Name, sootline.Role(in.Body.Role), scope)
		return Invited{"/welcome/" + key}, err
	})
	operation(a, "list-tokens", sootline.Manager, http.MethodGet, "/tokens", "What lets programs in", func(ctx context.Context, _ *None) (shape.Tokens, error) {
		tokens, err := a.as(ctx).Tokens(ctx)
		return shape.OfTokens(tokens), err
	})
	operation(a, "add-token", sootline.Manager, http.MethodPost, "/tokens", "Make a token for a program", func(ctx context.Context, in *NewToken) (MadeToken, error) {
		scope, err := in.Body.read(ctx, a.as(ctx))
		if err != nil {
			return MadeToken{}, err
		}
		role := cmp.Or(sootline.Role(in.Body.Role), sootline.Reader)
		secret, err := a.as(ctx).AddToken(ctx, app.NewToken{Name: in.Body.Name, Role: role, Scope: scope, Until: in.Body.Until})
		return MadeToken{secret}, err
	})
	operation(a, "remove-token", sootline.Manager, http.MethodDelete, "/tokens/{name}", "End a token at once; what it wrote stays", func(ctx context.Context, in *OfToken) (shape.Tokens, error) {
		if err := a.as(ctx).RemoveToken(ctx, in.Name); err != nil {
			return shape.Tokens{}, err
		}
		tokens, err := a.as(ctx).Tokens(ctx)
		return shape.OfTokens(tokens), err
	})
}

// account is what somebody does with what is their own.
func account(a *API) {
	list := func(ctx context.Context) (shape.Sessions, error) {
		sessions, err := a.as(ctx).Sessions(ctx)
		return shape.OfSessions(sessions), err
	}
	operation(a, "list-sessions", sootline.Reader, http.MethodGet, "/account/sessions", "Where whoever asks is signed in, the latest seen first", func(ctx context.Context, _ *None) (shape.Sessions, error) { return list(ctx) })
	operation(a, "end-session", sootline.Reader, http.MethodDelete, "/account/sessions/{session}", "End one of one's own sessions", func(ctx context.Context, in *OfSession) (shape.Sessions, error) {
		if err := a.as(ctx).EndSession(ctx, in.Session); err != nil {
			return shape.Sessions{}, err
		}
		return list(ctx)
	})
	operation(a, "sign-out-everywhere", sootline.Reader, http.MethodPost, "/account/sign-out", "End all of one's own sessions, phones and addresses for calendars", func(ctx context.Context, _ *None) (shape.Sessions, error) {
		at := a.as(ctx)
		return shape.OfSessions(nil), at.SignOutEverywhere(ctx, at.Who.Name)
	})
	operation(a, "change-own-password", sootline.Reader, http.MethodPut, "/account/password", "Change one's own password; one's sessions, phones and addresses for calendars end, this session too", func(ctx context.Context, in *OwnPassword) (shape.Sessions, error) {
		return shape.OfSessions(nil), a.OwnPassword(ctx, app.Proof{Password: in.Body.Present, Code: in.Body.Code}, in.Body.Password)
	})
}
