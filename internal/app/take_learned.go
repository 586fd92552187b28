package app

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// shape is how a table looks, whatever its rows say: the hash of its headings as they
// stand, and of the same with figures masked, since days and years in headings are
// others each time. A table without headings has the fields of its columns instead.
type shape struct {
	exact, loose string
	headed       bool
}

// shapeOf gives the shape of a table as it was understood at first sight.
func shapeOf(u *listing.Understanding) shape {
	s := shape{headed: u.HeaderLine > 0}
	exact, loose := sha256.New(), sha256.New()
	for _, c := range u.Columns {
		heading := sootline.TypeKey(c.Heading)
		if !s.headed {
			heading = "field " + string(c.Field)
		}
		exact.Write([]byte(heading + "\x00"))
		loose.Write([]byte(masked(heading) + "\x00"))
	}
	s.exact, s.loose = hex.EncodeToString(exact.Sum(nil)), hex.EncodeToString(loose.Sum(nil))
	return s
}

// masked writes # for each run of digits.
func masked(text string) string {
	var out strings.Builder
	in := false
	for _, c := range text {
		digit := '0' <= c && c <= '9'
		switch {
		case !digit:
			out.WriteRune(c)
		case !in:
			out.WriteByte('#')
		}
		in = digit
	}
	return out.String()
}

// Learned is what somebody answered about a listing of the same shape.
type Learned struct {
	By      string
	Day     string // when it was taken in, on the site's clock
	Take    string // the name of the take
	Answers string // as a map file has them
	Why     string // why it is only offered; empty: nothing speaks against it
	Used    bool
	profile listing.Profile
}

// Says tells when and by whom it was answered so.
func (l *Learned) Says() string {
	return fmt.Sprintf("a listing of this shape was answered so on %s by %s: %s", l.Day, cmp.Or(l.By, "nobody named"), l.Answers)
}

// Recall looks for what was answered of listings of the same shape when they were taken
// in, and keeps it with each table that nobody has answered yet. Nothing is used.
func (a *App) Recall(ctx context.Context, site sootline.ID, in *Intake) error {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return err
	}
	zone, err := Zone(log.FoldPlaces(Always).Site.Zone)
	if err != nil {
		return err
	}
	defer in.reads.during(ctx)()
	acts := actsOf(log)
	slices.Reverse(acts)
	for _, t := range in.Tables {
		if t.answers() == "" {
			t.recall(acts, zone)
		}
	}
	return nil
}

// recall finds the latest answers of a table of this shape among acts that stand, the
// last one first.
func (t *IntakeTable) recall(acts []Act, zone *time.Location) {
	t.Learned = nil
	several := false
	for i := range acts {
		if acts[i].UndoneBy != nil {
			continue
		}
		for _, table := range acts[i].Taken.Tables {
			if table.Answers == "" || table.Shape != t.shape.loose {
				continue
			}
			profiles, err := listing.ParseProfiles([]byte(table.Answers))
			if err != nil || len(profiles) != 1 {
				continue // of a later version, which knows more answers
			}
			lasting := profiles[0].OfSource() // an older version kept more than that
			if lasting.Empty() {
				continue
			}
			if t.Learned != nil {
				several = several || answersText(lasting) != t.Learned.Answers
				continue
			}
			t.Learned = &Learned{By: acts[i].Entry.By, Day: acts[i].Entry.Noted.In(zone).Format(time.DateOnly), Take: acts[i].Taken.Name, Answers: answersText(lasting), profile: lasting}
			if table.Headings != t.shape.exact {
				t.Learned.Why = "its headings are not the same to the letter"
			}
		}
	}
	t.doubtLearned(several)
}

// doubtLearned says why what was learned is only offered.
func (t *IntakeTable) doubtLearned(several bool) {
	l := t.Learned
	switch {
	case l == nil || l.Why != "":
		return
	case several:
		l.Why = "listings of this shape were answered in several ways"
		return
	case !t.shape.headed:
		l.Why = "it has no headings by which to know it"
		return
	}
	tried, err := t.known.Understand(t.Table, t.profile.WithSource(l.profile))
	if err != nil {
		l.Why = "it does not fit: " + t.reads.unreadable(err).Error()
		return
	}
	if idle(t.Understanding, tried, &l.profile) {
		t.Learned = nil // it answers nothing that this listing asks
		return
	}
	if l.Why = contradicts(t.Understanding, tried, &l.profile); l.Why == "" && !t.Peculiar() {
		l.Why = "lists of many sources have such headings"
	}
}

// idle reports whether what was learned leaves a table as it is understood without.
func idle(shown, tried *listing.Understanding, learned *listing.Profile) bool {
	if learned.AddressDigits != 0 || learned.Numbers != "" || shown.Kind != tried.Kind || shown.Rows != tried.Rows {
		return false
	}
	asks := func(id string) bool {
		return slices.ContainsFunc(shown.Questions, func(q listing.Question) bool { return q.ID == id })
	}
	same := func(a, b, id string) bool { return a == b || a == "" && !asks(id) } // else it was not open: its cells say it themselves
	return slices.EqualFunc(shown.Columns, tried.Columns, func(a, b listing.Column) bool {
		return a.Field == b.Field && same(string(a.DateOrder), string(b.DateOrder), listing.AskOrder) && same(string(a.Decimal), string(b.Decimal), listing.AskDecimal)
	}) && slices.EqualFunc(shown.Questions, tried.Questions, func(a, b listing.Question) bool { return a.ID == b.ID })
}

// contradicts says where what the table itself shows speaks against what was learned.
func contradicts(shown, tried *listing.Understanding, learned *listing.Profile) string {
	if learned.Kind != "" && shown.Kind != listing.KindUnknown && shown.Kind != learned.Kind {
		return "it looks like " + KindName(shown.Kind) + " now"
	}
	for _, c := range shown.Columns {
		if learned.DateOrder != "" && c.DateOrder != "" && c.DateOrder != learned.DateOrder {
			return fmt.Sprintf("its dates are written in another order, %s", c.DateOrder)
		}
		if learned.Decimal != "" && c.Decimal != "" && c.Decimal != learned.Decimal {
			return fmt.Sprintf("its decimal mark is a %s", c.Decimal)
		}
	}
	if asked := slices.ContainsFunc(shown.Questions, func(q listing.Question) bool { return q.ID == listing.AskNumbers }); learned.Numbers != "" && !asked {
		return "what its numbers mean is said for each listing"
	}
	if tried.Unreadable > shown.Unreadable {
		return "more of its rows could not be read so"
	}
	for _, q := range tried.Questions {
		if !slices.ContainsFunc(shown.Questions, func(s listing.Question) bool { return s.ID == q.ID }) {
			return "it would leave another question open: " + q.Text
		}
	}
	return ""
}

// UseLearned answers the table as the listing of its shape was answered.
func (t *IntakeTable) UseLearned() error {
	if t.Learned == nil {
		return sootline.Errorf(sootline.NotFound, "answer what is asked", "nothing was learned of a listing of this shape")
	}
	before := t.profile
	t.profile = before.WithSource(t.Learned.profile)
	if err := t.understand(); err != nil {
		t.profile = before
		return err
	}
	t.Learned.Used = true
	return nil
}

// answers gives what people fixed or answered about the source of the table, as a map file has it. Empty: nothing.
func (t *IntakeTable) answers() string {
	p := t.profile.OfSource()
	if p.Empty() {
		return ""
	}
	return answersText(p)
}

// answersText writes answers as a map file has them.
func answersText(p listing.Profile) string {
	text, err := json.Marshal(p)
	if err != nil {
		panic(err) // a profile is made of texts and numbers
	}
	return string(text)
}
