package store

import "sootline"

// Scope is to which sites a person, a token or an invitation is bound. The zero value
// is bound to none: all sites.
type Scope struct {
	Bound     bool
	Sites     []sootline.ID
	Customers []string // all sites of these customers, now and later
}

// The kinds of lines that a scope is kept in.
const (
	boundLine    = "bound"
	siteLine     = "site"
	customerLine = "customer"
)

// Who a scope is of.
func personHolder(name string) string    { return "person:" + fold(name) }
func tokenHolder(name string) string     { return "token:" + fold(name) }
func invitationHolder(key string) string { return "invitation:" + key }

// PutPersonScope binds a person to sites, or unbinds them.
func (tx *Tx) PutPersonScope(name string, s Scope) error { return tx.putScope(personHolder(name), s) }

func (tx *Tx) dropScope(holder string) error {
	_, err := tx.changed("DELETE FROM scope WHERE holder = $1", holder)
	return err
}

func (tx *Tx) putScope(holder string, s Scope) error {
	if err := tx.dropScope(holder); err != nil || !s.Bound {
		return err
	}
	lines := []scopeLine{{holder, boundLine, ""}}
	for _, site := range s.Sites {
		lines = append(lines, scopeLine{holder, siteLine, site.String()})
	}
	for _, customer := range s.Customers {
		lines = append(lines, scopeLine{holder, customerLine, customer})
	}
	for _, line := range lines {
		if _, err := tx.changed("INSERT INTO scope (holder, kind, value) VALUES ($1, $2, $3) ON CONFLICT (holder, kind, value) DO NOTHING", line.holder, line.kind, line.value); err != nil {
			return err
		}
	}
	return nil
}

type scopeLine struct{ holder, kind, value string }

// scopes gives the scopes of holders of whom the condition holds. A holder that is
// missing is bound to none.
func (v view) scopes(where string, args ...any) (map[string]Scope, error) {
	lines, err := gathered(v, func(scan func(...any) error) (line scopeLine, err error) {
		return line, scan(&line.holder, &line.kind, &line.value)
	}, "SELECT holder, kind, value FROM scope "+where+" ORDER BY holder, kind, value", args...)
	if err != nil {
		return nil, err
	}
	all := map[string]Scope{}
	for _, line := range lines {
		s := all[line.holder]
		s.Bound = true
		switch line.kind {
		case siteLine:
			id, err := sootline.ParseID(line.value)
			if err != nil {
				return nil, damaged(v.path, err)
			}
			s.Sites = append(s.Sites, id)
		case customerLine:
			s.Customers = append(s.Customers, line.value)
		}
		all[line.holder] = s
	}
	return all, nil
}

// scope gives the scope of one.
func (v view) scope(holder string) (Scope, error) {
	all, err := v.scopes("WHERE holder = $1", holder)
	return all[holder], err
}
