package sootline

// Role says what a person may do.
type Role string

// The roles, each of which may do what those before it may. A customer does the same
// as a reader, on the sites that are given to them and on no others.
const (
	Stranger   Role = ""           // may sign in
	Customer   Role = "customer"   // reads what is known of the sites given to them
	Reader     Role = "reader"     // reads everything, writes nothing
	Technician Role = "technician" // adds entries about the work
	Manager    Role = "manager"    // also what a site, its loops and its types are, settings and people
)

// Roles lists the roles that a person can have, the least first.
func Roles() []Role { return []Role{Customer, Reader, Technician, Manager} }

// May reports whether the role may do what needs another one.
func (r Role) May(needs Role) bool { return r.rank() >= needs.rank() }

func (r Role) rank() int {
	switch r {
	case Manager:
		return 3
	case Technician:
		return 2
	case Reader, Customer:
		return 1
	}
	return 0
}
