package shape

import "sootline/internal/app"

// People are those who may sign in.
type People struct {
	People []Person `json:"people"`
}

// Person is somebody who may sign in.
type Person struct {
	Name  string `json:"name"`
	Role  string `json:"role"`
	Added string `json:"added"`
	Scope Scope  `json:"scope"`
}

// Scope is to which sites somebody is bound.
type Scope struct {
	All       bool     `json:"all"`
	Sites     []string `json:"sites"`
	Customers []string `json:"customers"`
}

// OfScope shapes one.
func OfScope(s app.Scope) Scope {
	shape := Scope{All: !s.Bound, Sites: []string{}, Customers: append([]string{}, s.Customers...)}
	for _, site := range s.Sites {
		shape.Sites = append(shape.Sites, site.String())
	}
	return shape
}

// Tokens are what lets programs in.
type Tokens struct {
	Tokens []Token `json:"tokens"`
}

// Token is one of them. Its secret is shown where it is made, and nowhere else.
type Token struct {
	Name  string `json:"name"`
	Role  string `json:"role"`
	Scope Scope  `json:"scope"`
	Maker string `json:"maker"`
	Added string `json:"added"`
	Until string `json:"until"`
}

// OfTokens shapes them.
func OfTokens(tokens []app.Token) Tokens {
	shape := Tokens{Tokens: []Token{}}
	for _, t := range tokens {
		shape.Tokens = append(shape.Tokens, Token{t.Name, string(t.Role), OfScope(t.Scope), t.Maker, instant(t.Added), instant(t.Until)})
	}
	return shape
}

// OfPeople shapes them.
func OfPeople(people []app.Person) People {
	shape := People{People: []Person{}}
	for _, p := range people {
		shape.People = append(shape.People, Person{p.Name, string(p.Role), instant(p.Added), OfScope(p.Scope)})
	}
	return shape
}

// Sessions are the places where somebody is signed in.
type Sessions struct {
	Sessions []Session `json:"sessions"`
}

// Session is one of them.
type Session struct {
	ID     string `json:"id"`
	From   string `json:"from"`
	Device string `json:"device"`
	Began  string `json:"began"`
	Seen   string `json:"seen"`
}

// OfSessions shapes them.
func OfSessions(sessions []app.SignedIn) Sessions {
	shape := Sessions{Sessions: []Session{}}
	for _, in := range sessions {
		shape.Sessions = append(shape.Sessions, Session{in.ID, in.From, in.Device, instant(in.Began), instant(in.Seen)})
	}
	return shape
}

// SecurityEvents are lines of the journal, and what is wrong with the journal.
type SecurityEvents struct {
	Events []SecurityEvent `json:"events"`
	Broken string          `json:"broken,omitempty"`
}

// SecurityEvent is one of them.
type SecurityEvent struct {
	Number int64  `json:"number"`
	At     string `json:"at"`
	What   string `json:"what"`
	By     string `json:"by"`
	Whom   string `json:"whom"`
	Detail string `json:"detail"`
	From   string `json:"from"`
}

// OfSecurityEvents shapes them.
func OfSecurityEvents(events []app.SecurityEvent, broken error) SecurityEvents {
	shape := SecurityEvents{Events: []SecurityEvent{}}
	if broken != nil {
		shape.Broken = broken.Error()
	}
	for _, e := range events {
		shape.Events = append(shape.Events, SecurityEvent{e.Seq, instant(e.At), string(e.What), e.By, e.Whom, e.Detail, e.From})
	}
	return shape
}

// MaySignIn are the people of a book and those who are asked in, the answer of `serve person list --json`.
type MaySignIn struct {
	People
	Invited []Invited `json:"invited"`
}

// Invited is somebody who is asked in.
type Invited struct {
	Name  string `json:"name"`
	Role  string `json:"role"`
	Sites string `json:"sites"` // in words
	Until string `json:"until"`
}

// OfMaySignIn shapes them.
func OfMaySignIn(people []app.Person, invited []app.Welcome) MaySignIn {
	shape := MaySignIn{OfPeople(people), []Invited{}}
	for _, in := range invited {
		shape.Invited = append(shape.Invited, Invited{in.Name, string(in.Role), in.Sites, instant(in.Until)})
	}
	return shape
}
