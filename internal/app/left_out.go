package app

import (
	"fmt"
	"strings"

	"sootline/internal/listing"
)

// Unread is a sentence about something in a listing that nobody looked at.
type Unread struct {
	Text   string
	Hidden bool // it is hidden, and taken when a profile says so
}

// admit takes a hidden sheet in where its profile says so, and else notes that it
// was left out.
func (in *Intake) admit(path string, table *listing.Table, profiles []listing.Profile) bool {
	if !table.Hidden || listing.ProfileFor(profiles, table).Hidden {
		return true
	}
	in.Notes = append(in.Notes, Unread{fmt.Sprintf("%s: sheet %s is hidden: left out", path, table.Name), true})
	return false
}

// notes are those of the files, then what the tables hide beside whole rows, which
// are counted with the rows passed over.
func (in *Intake) notes() []Unread {
	out := in.Notes
	for _, t := range in.Tables {
		if n := len(t.Understanding.LeftOut.Columns); n > 0 {
			out = append(out, Unread{t.called() + ": " + hiddenColumns(t.Understanding.LeftOut.Columns) + " hidden: left out", true})
		} else if t.Understanding.LeftOut.Rows > 0 {
			out = append(out, Unread{t.called() + ": rows are hidden: left out", true})
		}
	}
	return out
}

// called names a table by its file and its sheet.
func (t *IntakeTable) called() string {
	if t.Table.Name == "" {
		return t.Path
	}
	return t.Path + ", sheet " + t.Table.Name
}

func hiddenColumns(places []int) string {
	const most = 10
	var names []string
	for _, place := range places[:min(len(places), most)] {
		names = append(names, fmt.Sprint(place+1))
	}
	switch {
	case len(places) == 1:
		return "column " + names[0] + " is"
	case len(places) > most:
		return fmt.Sprintf("columns %s and %d more are", strings.Join(names, ", "), len(places)-most)
	}
	return "columns " + strings.Join(names, ", ") + " are"
}
