package shape

import (
	"time"

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
