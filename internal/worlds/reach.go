package worlds

import (
	"bytes"
	_ "embed"
	"encoding/csv"
)

// reach.csv is the table of who may do what where a person may be bound to sites: each role, at each door, for a site that
// one has by being bound to none (`all`), by being bound to it (`given`), and for one that one has not (`other`).
//
//   - `allowed`; `refused` for want of right; `not there`: answered word for word as for a site that does not exist, and
//     nothing of it in any list, count, search or sentence elsewhere.
//   - `by kind` leaves the answer to rights.csv: role and door as there, a token as the API, and what is said of an entry's
//     kind, author and amendments holds within the scope. There is no row of rights.csv for a customer, because a customer
//     writes nothing of any kind at any door.
//   - What is about no one site (people, journal, backups, a new site) is for who is bound to none.
//   - A door that a role has not (a customer's token, a reader's phone) is refused as a door, whatever is asked there.
//
//go:embed reach.csv
var reachCSV []byte

// Answers of the table of reach.
const (
	ReachAllowed  = "allowed"
	ReachRefused  = "refused"
	ReachNotThere = "not there"
	ReachByKind   = "by kind"
)

// Reach is one row of the table.
type Reach struct {
	Act, Role, Reach, Door, Answer, Reason string
}

// Reaches reads the table.
func Reaches() ([]Reach, error) {
	rows, err := csv.NewReader(bytes.NewReader(reachCSV)).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []Reach
	for _, r := range rows[1:] {
		out = append(out, Reach{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return out, nil
}

// Scoped is one row of rights.csv for somebody who has the site by one of the three reaches.
type Scoped struct {
	Right
	Reach  string
	Answer string // allowed, refused or not there
}

// ScopedRights is rights.csv for each reach, with the customer and the token beside the roles and doors there.
func ScopedRights() ([]Scoped, error) {
	rights, err := Rights()
	if err != nil {
		return nil, err
	}
	reaches, err := Reaches()
	if err != nil {
		return nil, err
	}
	cells := map[Reach]Reach{}
	for _, r := range reaches {
		cells[Reach{Act: r.Act, Role: r.Role, Reach: r.Reach, Door: r.Door}] = r
	}
	var out []Scoped
	add := func(r Right, role, door string) {
		for _, reach := range []string{"all", "given", "other"} {
			cell := cells[Reach{Act: r.Act, Role: role, Reach: reach, Door: door}]
			s := Scoped{Right: r, Reach: reach, Answer: cell.Answer}
			s.Role, s.Door = role, door
			if s.Answer == ReachByKind {
				s.Answer = ReachRefused
				if r.Allowed {
					s.Answer = ReachAllowed
				}
			} else {
				s.Reason = cell.Reason
			}
			s.Allowed = s.Answer == ReachAllowed
			out = append(out, s)
		}
	}
	for _, r := range rights {
		add(r, r.Role, r.Door)
		if r.Door == "api" {
			add(r, r.Role, "token")
		}
		if r.Role == "reader" { // a row a kind, act, target and door
			add(r, "customer", r.Door)
			if r.Door == "api" {
				add(r, "customer", "token")
			}
		}
	}
	return out, nil
}
