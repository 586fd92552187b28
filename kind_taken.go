package sootline

import (
	"maps"
	"slices"
	"strconv"
	"strings"
)

// TakenKind is the kind of [Taken].
const TakenKind Kind = "taken"

// Taken says that listings were taken in, as one act, or that such an act was taken
// back. The program writes it behind the entries of the act, which are those of its
// own station from First to Last.
type Taken struct {
	Name   string       `json:"name" form:"by which it is called"` // the day and its number on that day
	Files  []TakenFile  `json:"files,omitempty" form:"the files"`
	Tables []TakenTable `json:"tables,omitempty" form:"what was understood of their tables"`
	Added  map[Kind]int `json:"added" form:"how many entries of each kind it wrote"`
	First  int64        `json:"first" form:"the number of its first entry in the chain of its station"`
	Last   int64        `json:"last" form:"the number of its last entry"`
	Undoes ID           `json:"undoes,omitzero" form:"the act that it takes back"`
	Why    string       `json:"why,omitempty" form:"why, in words"`
}

// TakenFile is a file as it was taken in.
type TakenFile struct {
	Name   string `json:"name"`   // without its folder
	SHA256 string `json:"sha256"` // of its bytes, in hex
	Bytes  int64  `json:"bytes"`
}

// TakenTable is what was understood of one table of a file.
type TakenTable struct {
	File       string `json:"file"`
	Sheet      string `json:"sheet,omitempty"`
	Lists      string `json:"lists"`                // what kind of listing it is
	Understood string `json:"understood,omitempty"` // its columns, in words
	Rows       int    `json:"rows,omitempty"`
	Left       int    `json:"left,omitempty"`     // rows that could not be used
	Headings   string `json:"headings,omitempty"` // SHA-256 of its headings as they stand, in hex
	Shape      string `json:"shape,omitempty"`    // the same, without what changes from year to year
	Answers    string `json:"answers,omitempty"`  // what people answered, as a map file has it
}

// Kind is TakenKind.
func (Taken) Kind() Kind { return TakenKind }

func (x Taken) say() string {
	what := "listing taken in " + x.Name
	if !x.Undoes.Zero() {
		what = "take taken back " + x.Name
	}
	return Joined(what, x.filesSaid(), x.AddedSaid(), x.Why)
}

// filesSaid names the files; of many the first ones, since the entry has them all.
func (x Taken) filesSaid() string {
	const most = 3
	names := make([]string, 0, most+1)
	for _, f := range x.Files[:min(most, len(x.Files))] {
		names = append(names, f.Name)
	}
	switch more := len(x.Files) - most; {
	case more == 1:
		names = append(names, x.Files[most].Name)
	case more > 1:
		names = append(names, strconv.Itoa(more)+" files more")
	}
	return strings.Join(names, ", ")
}

// AddedSaid tells how many entries of each kind the act wrote.
func (x Taken) AddedSaid() string {
	parts := make([]string, 0, len(x.Added))
	for _, kind := range slices.Sorted(maps.Keys(x.Added)) {
		parts = append(parts, KindCount(x.Added[kind], kind))
	}
	return strings.Join(parts, ", ")
}

func (x Taken) check() error {
	if x.Name == "" || x.First < 1 || x.Last < x.First {
		return Errorf(Invalid, "", "an act of taking in has its name and the numbers of its entries, from 1")
	}
	for _, f := range x.Files {
		if f.Name == "" || !PhotoName(f.SHA256) || f.Bytes < 0 {
			return Errorf(Invalid, "", "a file that was taken in has its name, its size and its SHA-256")
		}
	}
	return nil
}

// Wrote reports whether an entry is one of those that an act wrote.
func (x Taken) Wrote(act, e *Entry) bool {
	return e.Station == act.Station && x.First <= e.Seq && e.Seq <= x.Last
}

// fold has nothing to do: what was taken in stands in entries of its own.
func (Taken) fold(*Register, *Entry) {}
