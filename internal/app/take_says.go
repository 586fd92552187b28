package app

import (
	"fmt"
	"strings"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// Cause is why rows cannot be used: those of one cause together.
type Cause struct {
	Text   string // of the first of them
	Varies bool   // the others say so of other cells
	Rows   []int  // the first few
	All    int
}

// mostCauses bounds the causes that are told apart; what comes beyond is counted alone.
const mostCauses = 50

// because counts a row with those of its cause: reasons that differ in numbers and in what stands between quotes alone
// are one.
func (o *TableOutcome) because(line int, why string) {
	key := causeKey(why)
	if o.causes == nil {
		o.causes = map[string]*Cause{}
	}
	c := o.causes[key]
	if c == nil {
		if len(o.Causes) == mostCauses {
			return
		}
		c = &Cause{Text: why}
		o.causes[key] = c
		o.Causes = append(o.Causes, c)
	}
	c.Varies = c.Varies || why != c.Text
	c.All++
	if len(c.Rows) < shown {
		c.Rows = append(c.Rows, line)
	}
}

func causeKey(why string) string {
	var key strings.Builder
	quoted := false
	for _, c := range why {
		switch {
		case c == '"':
			quoted = !quoted
		case !quoted && (c < '0' || c > '9'):
			key.WriteRune(c)
		}
	}
	return key.String()
}

// repeat tells of a row that says what another says; of a table that was turned, and is small therefore, of which.
func (o *TableOutcome) repeat(v verdict, id sootline.ID, line int) {
	switch first, known := o.lines[id]; {
	case v == repeated && known:
		o.remark(line, "it says what "+o.Table.Place(first)+" says")
	case v == repeated:
		o.remark(line, "it says what another row says")
	case v == added && o.Table.Turned:
		if o.lines == nil {
			o.lines = map[sootline.ID]int{}
		}
		o.lines[id] = line
	}
}

// read counts a reading that is taken, with its day.
func (o *TableOutcome) read(at time.Time, values int) {
	o.Values += values
	if o.From.IsZero() || at.Before(o.From) {
		o.From = at
	}
	if at.After(o.To) {
		o.To = at
	}
}

// Effects says in words of the site what a table does, or would do. Of a schedule it also says which of the known
// stays as it is.
func (o *TableOutcome) Effects() string {
	var parts []string
	say := func(n int, one, several string) {
		if n > 0 {
			parts = append(parts, numbered(n, one, several))
		}
	}
	if n := o.Added[sootline.FittedKind]; n > 0 || o.Table.Kind == listing.KindSchedule {
		parts = append(parts, "fits "+numbered(n, "point", "points"))
	}
	for _, e := range Effects() {
		switch u := o.Undoes[e]; {
		case u != nil && u.Held > 0:
			parts = append(parts, fmt.Sprintf("%s (%s; held until that is allowed)", e.Does(u.Rows), u.Where()))
		case u != nil:
			parts = append(parts, fmt.Sprintf("%s (%s)", e.Does(u.Rows), u.Where()))
		case o.Table.Kind == listing.KindSchedule && e != EffectSheet && e != EffectSet:
			parts = append(parts, e.none())
		}
	}
	if o.Values > 0 {
		parts = append(parts, fmt.Sprintf("reads %s between %s and %s", numbered(o.Values, "value", "values"), o.From.Format(time.DateOnly), o.To.Format(time.DateOnly)))
		say(o.Outside, "outside its band", "outside their band")
		say(o.Unlike, "unlike its history", "unlike their history")
	}
	return strings.Join(parts, ", ")
}

// Ending is how an intake ended.
type Ending int

// The endings.
const (
	EndDone    Ending = iota
	EndOpen           // a question is open, or something of the known is held for want of a yes
	EndRefused        // nothing of it could be used
)

// Ending tells how the intake ended, or would.
func (o *Outcome) Ending() Ending {
	open, left, used := len(o.Open) > 0, len(o.Skipped) > 0, o.Added > 0
	for _, t := range o.Tables {
		open = open || len(t.Table.Questions) > 0 || len(t.Spellings) > 0
		for _, u := range t.Undoes {
			open = open || u.Held > 0
		}
		left, used = left || t.Left > 0, used || t.Same > 0 || t.Repeated > 0
	}
	switch {
	case open:
		return EndOpen
	case left && !used:
		return EndRefused
	}
	return EndDone
}
