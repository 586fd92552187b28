package worlds

import (
	"bytes"
	_ "embed"
	"encoding/csv"
)

// rights.csv is the table of who may write, correct and withdraw what, at which door. Least by default, and a technician
// can do the whole job: setting up points, testing, defects, visits, papers. What says what a site, a type or the service
// is, is a manager's.
//
//   - `target` is whose entry is amended. "One that a manager amended" is any entry whose latest standing amendment is a
//     manager's, whoever wrote it, and goes before the other three; "own" goes before "another technician's" and
//     "a manager's". Whose role an author has is looked up when the amendment is judged; an author who is no person of
//     the book (a listing, another book's log) counts as a manager, so that nobody amends by guess.
//   - A phone has the rights of a technician at most, whoever paired it. Its "own" entries are those of its own station.
//   - The command line on the machine that holds the book acts as a manager, since whoever holds the file can write it;
//     its rows for the other roles say what an actor of that role gets at that door.
//   - A correction may change the kind of an entry: then the actor must also be allowed to write the new kind at that door.
//
//go:embed rights.csv
var rightsCSV []byte

// Right is one row of the table.
type Right struct {
	Kind, Act, Target, Role, Door string
	Allowed                       bool
	Reason                        string
}

// Rights reads the table.
func Rights() ([]Right, error) {
	rows, err := csv.NewReader(bytes.NewReader(rightsCSV)).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []Right
	for _, r := range rows[1:] {
		out = append(out, Right{r[0], r[1], r[2], r[3], r[4], r[5] == "allowed", r[6]})
	}
	return out, nil
}

// Answer finds what holds; false where the table has no such row.
func Answer(table []Right, kind, act, target, role, door string) (Right, bool) {
	for _, r := range table {
		if r.Kind == kind && r.Act == act && r.Target == target && r.Role == role && r.Door == door {
			return r, true
		}
	}
	return Right{}, false
}
