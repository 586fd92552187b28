package sootline

import "testing"

func TestMayAmend(t *testing.T) {
	technician := Actor{Name: "A. Tech", Role: Technician, Station: "server"}
	manager := Actor{Name: "B. Boss", Role: Manager, Station: "server"}
	phone := Actor{Name: "A. Tech", Role: Technician, Station: "p-1", Phone: true, HandsIn: true}
	entry := func(by, station string, body Body) Entry {
		return Entry{ID: pointID(1), By: by, Station: station, Body: body}
	}
	note, sheet := entry("A. Tech", "p-1", Note{Text: "x"}), entry("B. Boss", "server", Sheet{})
	withdrawn := Withdrawn{Entry: note.ID}
	byManager := entry("B. Boss", "server", Withdrawn{Entry: note.ID})
	for _, test := range []struct {
		name string
		who  Actor
		of   Amended
		body Body
		want bool
	}{
		{"a technician withdraws a note", technician, Amended{Chain: []Entry{note}}, withdrawn, true},
		{"a technician withdraws a type sheet", technician, Amended{Chain: []Entry{sheet}}, withdrawn, false},
		{"a manager does", manager, Amended{Chain: []Entry{sheet}}, withdrawn, true},
		{"a technician takes back the withdrawal of a type sheet", technician, Amended{Chain: []Entry{entry("A. Tech", "x", withdrawn), sheet}}, withdrawn, false},
		{"a technician takes back a manager's withdrawal", technician, Amended{Chain: []Entry{byManager, note}}, withdrawn, false},
		{"a technician amends over a manager's word", technician, Amended{Chain: []Entry{note}, Standing: &byManager}, withdrawn, false},
		{"a technician makes a note a type sheet", technician, Amended{Chain: []Entry{note}}, Corrected{Entry: note.ID, Body: Sheet{}}, false},
		{"a phone withdraws its own note", phone, Amended{Chain: []Entry{note}}, withdrawn, true},
		{"a phone withdraws another phone's", phone, Amended{Chain: []Entry{entry("A. Tech", "p-2", Note{})}}, withdrawn, false},
		{"a technician corrects another's note", technician, Amended{Chain: []Entry{entry("C. Tech", "p-1", Note{})}}, Corrected{Body: Note{Text: "y"}}, true},
		{"a technician corrects what a manager wrote", technician, Amended{Chain: []Entry{entry("B. Boss", "x", Note{})}}, Corrected{Body: Note{Text: "y"}}, false},
		{"a technician corrects what nobody known wrote", technician, Amended{Chain: []Entry{entry("a listing", "x", Note{})}}, Corrected{Body: Note{Text: "y"}}, false},
		{"a correction is not corrected", manager, Amended{Chain: []Entry{entry("B. Boss", "x", Corrected{Entry: note.ID, Body: Note{}}), note}}, Corrected{Body: Note{Text: "y"}}, false},
		{"a reader withdraws a note", Actor{Role: Reader}, Amended{Chain: []Entry{note}}, withdrawn, false},
		{"nobody amends an issued paper", manager, Amended{Chain: []Entry{entry("B. Boss", "server", Issued{})}}, withdrawn, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			if err := test.who.MayAmend(withAuthors(test.of), test.body); (err == nil) != test.want || err != nil && ErrorCode(err) != Forbidden {
				t.Errorf("got %v", err)
			}
		})
	}
}

func TestRolesRank(t *testing.T) {
	for i, role := range Roles() {
		for k, needs := range Roles() {
			want := i >= k || role == Customer && needs == Reader // who reads alike, of fewer sites
			if role.May(needs) != want || Stranger.May(needs) {
				t.Errorf("%s may what needs %s: %v", role, needs, role.May(needs))
			}
		}
	}
}

func withAuthors(of Amended) Amended {
	of.Author = func(name string) Role {
		if name == "A. Tech" || name == "C. Tech" {
			return Technician
		}
		return Manager
	}
	return of
}
