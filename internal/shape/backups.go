package shape

import (
	"time"

	"sootline/internal/app"
	"sootline/internal/keep"
)

// Backups is what a place holds.
type Backups struct {
	Place   string   `json:"place"`
	Backups []Backup `json:"backups"` // the newest first
}

// Backup is one that is kept.
type Backup struct {
	Name      string    `json:"name"`
	Began     time.Time `json:"began"`
	Bytes     int64     `json:"bytes"`
	Encrypted bool      `json:"encrypted"`
}

// OfBackups shapes them.
func OfBackups(place string, all []keep.Copy) Backups {
	shape := Backups{Place: place, Backups: []Backup{}}
	for _, c := range all {
		shape.Backups = append(shape.Backups, Backup{c.Name(), c.At, c.Size, c.Encrypted})
	}
	return shape
}

// Drilled is a backup that passed a drill, the answer of `book drill --json`.
type Drilled struct {
	Place    string  `json:"place"`
	Name     string  `json:"name"`
	Sites    int     `json:"sites"`
	Lines    int     `json:"lines"`
	Photos   int     `json:"photos"`
	Compared bool    `json:"compared"`     // with the open book
	Known    bool    `json:"known"`        // it holds everything that was acknowledged before it began
	Since    int64   `json:"since"`        // lines that the book has more
	Before   int64   `json:"before"`       // lines that the book lacks
	Gone     *string `json:"gone_from_it"` // what was kept in the place before and is there no more; null: nothing
}

// OfDrilled shapes it.
func OfDrilled(place string, d *app.Drilled) Drilled {
	shape := Drilled{place, d.Copy.Name(), d.Sites, d.Lines, d.Photos, d.Compared, d.Known, d.Since, d.Before, nil}
	if d.Gone != nil {
		text := d.Gone.Error()
		shape.Gone = &text
	}
	return shape
}

// BookCheck is what a look at the whole book found, the answer of `book check --json`.
type BookCheck struct {
	Book   string      `json:"book"`
	Sound  bool        `json:"sound"`
	Photos int         `json:"photos"` // each what was taken
	Sites  []SiteCheck `json:"sites"`
	Faults []string    `json:"faults"`
}

// SiteCheck is whether the log of a site is whole.
type SiteCheck struct {
	Site     string `json:"site"`
	Lines    int    `json:"lines"`
	Stations int    `json:"stations"`
	Whole    bool   `json:"whole"`
}
