package shape

import (
	"sootline"
	"sootline/internal/app"
)

// Takes lists what was taken in, the last one first.
type Takes struct {
	Takes []Take `json:"takes"`
}

// Take is one act of taking listings in, or of taking such an act back.
type Take struct {
	Entry    string         `json:"entry" doc:"Id of the entry that tells of it"`
	Name     string         `json:"name"`
	Noted    string         `json:"noted"`
	By       string         `json:"by"`
	Files    []TakeFile     `json:"files"`
	Tables   []TakeTable    `json:"tables"`
	Added    map[string]int `json:"added" doc:"Entries that it wrote, by kind"`
	Station  string         `json:"station"`
	First    int64          `json:"first" doc:"Number of its first entry in the chain of its station"`
	Last     int64          `json:"last"`
	Undoes   string         `json:"undoes" doc:"Entry of the take that it takes back; empty: none"`
	UndoneBy string         `json:"undone_by" doc:"Entry of the take that took it back; empty: it stands"`
	Why      string         `json:"why"`
}

// TakeFile is a file that was taken in.
type TakeFile struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// TakeTable is what was understood of a table of it.
type TakeTable struct {
	File       string `json:"file"`
	Sheet      string `json:"sheet"`
	Lists      string `json:"lists"`
	Understood string `json:"understood"`
	Rows       int    `json:"rows"`
	Left       int    `json:"left"`
	Answers    string `json:"answers" doc:"What was answered, as a map file has it; empty: nothing"`
}

// OfTakes shapes acts.
func OfTakes(acts []app.Act) Takes {
	shape := Takes{Takes: []Take{}}
	for i := range acts {
		shape.Takes = append(shape.Takes, ofTake(&acts[i]))
	}
	return shape
}

func ofTake(act *app.Act) Take {
	e, said := act.Entry, act.Taken
	t := Take{
		Entry: e.ID.String(), Name: said.Name, Noted: instant(e.Noted), By: e.By, Files: []TakeFile{}, Tables: []TakeTable{},
		Added: byKind(said.Added), Station: e.Station, First: said.First, Last: said.Last, Why: said.Why,
	}
	for _, f := range said.Files {
		t.Files = append(t.Files, TakeFile(f))
	}
	for _, x := range said.Tables {
		t.Tables = append(t.Tables, TakeTable{x.File, x.Sheet, x.Lists, x.Understood, x.Rows, x.Left, x.Answers})
	}
	if !said.Undoes.Zero() {
		t.Undoes = said.Undoes.String()
	}
	if act.UndoneBy != nil {
		t.UndoneBy = act.UndoneBy.Entry.ID.String()
	}
	return t
}

func byKind(counts map[sootline.Kind]int) map[string]int {
	all := map[string]int{}
	for kind, n := range counts {
		all[string(kind)] = n
	}
	return all
}

// TakeUndone is what taking a take back did, or would do.
type TakeUndone struct {
	Take    string         `json:"take" doc:"Name of the take"`
	Entry   string         `json:"entry" doc:"Id of the entry that tells of it; empty: nothing was written"`
	Took    map[string]int `json:"took" doc:"Entries taken back, by kind"`
	Gone    int            `json:"gone" doc:"Entries of it that were withdrawn before"`
	Shared  int            `json:"shared" doc:"Entries of it that another station noted too, and that stay"`
	Resting []string       `json:"resting" doc:"What rests on it"`
}

// OfTakeUndone shapes it.
func OfTakeUndone(u *app.Undone) TakeUndone {
	shape := TakeUndone{Take: u.Act.Taken.Name, Took: byKind(u.Took), Gone: u.Gone, Shared: u.Shared, Resting: append([]string{}, u.Resting...)}
	if u.Entry != nil {
		shape.Entry = u.Entry.ID.String()
	}
	return shape
}

// Aliases lists what spellings mean.
type Aliases struct {
	Aliases []Alias `json:"aliases"`
}

// Alias is what a spelling means.
type Alias struct {
	Entry string `json:"entry" doc:"Id of the entry that says so; withdrawing it takes the alias back"`
	Of    string `json:"of"`
	Said  string `json:"said"`
	Means string `json:"means"`
	By    string `json:"by"`
	Noted string `json:"noted"`
}

// OfAliases shapes the aliases that hold.
func OfAliases(r *sootline.Register) Aliases {
	shape := Aliases{Aliases: []Alias{}}
	for _, known := range r.Aliases() {
		shape.Aliases = append(shape.Aliases, Alias{known.Entry.ID.String(), string(known.Of), known.Said, known.Means, known.Entry.By, instant(known.Entry.Noted)})
	}
	return shape
}
