package sootline

// Role says what a person may do.
type Role string

// The roles, each of which may do what those before it may.
const (
	Stranger   Role = ""           // may sign in
	Reader     Role = "reader"     // reads everything, writes nothing
	Technician Role = "technician" // adds entries about the work
	Manager    Role = "manager"    // also what a site, its loops and its types are, settings and people
)

// Roles lists the roles that a person can have, the least first.
func Roles() []Role { return []Role{Reader, Technician, Manager} }

// May reports whether the role may do what needs another one.
func (r Role) May(needs Role) bool { return r.rank() >= needs.rank() }

func (r Role) rank() int {
	switch r {
	case Manager:
		return 3
	case Technician:
		return 2
	case Reader:
		return 1
	}
	return 0
}
