package keep

import (
	"cmp"
	"strings"
	"time"
)

// Copy is a backup in a place.
type Copy struct {
	At        time.Time `json:"at"` // when it began, to the second, UTC
	Encrypted bool      `json:"encrypted"`
	Size      int64     `json:"size"` // bytes, as it lies there
}

const (
	nameBegins = "book-"
	nameTime   = "20060102T150405Z"
	nameEnds   = ".db"
	nameSealed = ".age"
)

// Name gives the name under which a place keeps the copy. Names in order are
// copies in order of time.
func (c Copy) Name() string {
	name := nameBegins + c.At.UTC().Format(nameTime) + nameEnds
	if c.Encrypted {
		name += nameSealed
	}
	return name
}

// ParseName reads such a name; a copy of which only that is known has no size.
func ParseName(name string) (Copy, bool) {
	plain, sealed := strings.CutSuffix(name, nameSealed)
	text, begins := strings.CutPrefix(plain, nameBegins)
	text, ends := strings.CutSuffix(text, nameEnds)
	at, err := time.Parse(nameTime, text)
	kept := Copy{At: at, Encrypted: sealed}
	return kept, begins && ends && err == nil && kept.Name() == name
}

func (c Copy) compare(other Copy) int {
	return cmp.Or(c.At.Compare(other.At), cmp.Compare(c.Name(), other.Name()))
}
