package listing

import (
	"reflect"
	"slices"
	"strings"
)

// OfSource gives what of the profile holds for other listings of the same source too: how it is written. What a listing
// leaves out is of that listing alone, and so is what became of its days, and what the register says otherwise.
func (p Profile) OfSource() Profile { return Profile{}.WithSource(p) }

// WithSource gives what source says, and of the profile what is of its one listing.
func (p Profile) WithSource(source Profile) Profile {
	source.Sheet, source.DraftSheet, source.DayOfMonth = p.Sheet, p.DraftSheet, p.DayOfMonth
	source.Year, source.TitleMeans, source.Holds = p.Year, p.TitleMeans, p.Holds
	source.Swapped, source.Second, source.Contrary, source.Constants = p.Swapped, p.Second, p.Contrary, p.Constants
	return source
}

// Empty reports whether the profile says nothing.
func (p Profile) Empty() bool { return reflect.ValueOf(p).IsZero() }

// Peculiar reports whether the headings show whose listing it is: one of them at least is no plain word of the trade, and
// no day. "Point, date, value" stands over lists of many sources.
func (u *Understanding) Peculiar() bool {
	return slices.ContainsFunc(u.Columns, func(c Column) bool {
		plain := c.Heading == "" || strings.HasPrefix(c.Heading, troubleHeading) || u.lx.visitDate(c.Heading) != ""
		m := u.lx.heading(c.Heading)
		return !plain && m.strength != strengthExact && m.strength != strengthNumber
	})
}
