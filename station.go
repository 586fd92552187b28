package sootline

import "strings"

// EraMark parts the name of a station from the era of the book that it writes in,
// which a book has that was put back from a backup.
const EraMark = "~"

// StationOf gives the name of a station without the era: what wrote, in whichever
// era.
func StationOf(station string) string {
	name, _, _ := strings.Cut(station, EraMark)
	return name
}
