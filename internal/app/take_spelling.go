package app

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// Spelling is a spelling that nobody knows and that is near to what is known: it is
// asked once what is meant, and the answer is kept as an alias.
type Spelling struct {
	Of     sootline.AliasOf
	Said   string
	Lines  []int    // the first few rows that say so
	Rows   int      // how many do
	Likely []string // what may be meant, the likeliest first
}

// Question asks what is meant.
func (s *Spelling) Question() string {
	return fmt.Sprintf("%s %q (%s) is not known: is it %s, or a name of its own?", s.Of, s.Said, s.where(), quotedList(s.Likely))
}

func (s *Spelling) where() string {
	if s.Rows == 1 {
		return fmt.Sprintf("row %d", s.Lines[0])
	}
	return fmt.Sprintf("%d rows, first in row %d", s.Rows, s.Lines[0])
}

func quotedList(names []string) string {
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = fmt.Sprintf("%q", name)
	}
	return strings.Join(quoted, " or ")
}

// Answer gives the alias that an answer makes; the spelling itself says that it is a
// name of its own.
func (s *Spelling) Answer(means string) sootline.Alias {
	return sootline.Alias{Of: s.Of, Said: s.Said, Means: cmp.Or(strings.TrimSpace(means), s.Said)}
}

// spellings are what the rows of an intake call things, as far as nobody knows them.
type spellings struct {
	known map[sootline.AliasOf]map[string]bool // by spelling as matched
	names map[sootline.AliasOf][]string        // as written, sorted
	met   map[sootline.AliasOf]map[string]*Spelling

	// What was found of names as rows write them: most rows write the same few.
	looked map[sootline.AliasOf]map[string]*Spelling // nil: nothing is to be noted of it
	people map[string]string                         // who is meant
}

// mostSpellings bounds what is remembered of one intake: more different names than
// this are no slips of the pen.
const mostSpellings = 2000

// newSpellings gathers what a site calls its types, areas, causes and people.
func newSpellings(r *sootline.Register, log *sootline.Log) *spellings {
	s := &spellings{known: map[sootline.AliasOf]map[string]bool{}, names: map[sootline.AliasOf][]string{}, met: map[sootline.AliasOf]map[string]*Spelling{}, looked: map[sootline.AliasOf]map[string]*Spelling{}, people: map[string]string{}}
	for _, of := range sootline.AliasesOf() {
		s.known[of], s.met[of], s.looked[of] = map[string]bool{}, map[string]*Spelling{}, map[string]*Spelling{}
	}
	for _, sheet := range r.Sheets() {
		s.know(sootline.AliasType, sheet.Name)
	}
	for _, area := range r.Areas() {
		s.know(sootline.AliasArea, area.Area)
	}
	causes := func(events []sootline.Event) {
		for _, e := range events {
			s.know(sootline.AliasCause, e.Cause)
		}
	}
	causes(r.Events)
	for _, p := range r.Points() {
		s.know(sootline.AliasArea, p.Area)
		causes(p.Events)
	}
	for _, e := range log.Holding() {
		s.know(sootline.AliasPerson, r.Meant(sootline.AliasPerson, e.By))
	}
	for of := range s.names {
		slices.Sort(s.names[of])
	}
	return s
}

func (s *spellings) know(of sootline.AliasOf, name string) {
	if key := sootline.TypeKey(name); key != "" && !s.known[of][key] {
		s.known[of][key] = true
		s.names[of] = append(s.names[of], name)
	}
}

// meet notes that a row says a name.
func (s *spellings) meet(r *sootline.Register, of sootline.AliasOf, name string, line int) {
	if len(s.names[of]) == 0 {
		return
	}
	met, looked := s.looked[of][name]
	if !looked {
		met = s.look(r, of, name)
		if len(s.looked[of]) < mostSpellings {
			s.looked[of][strings.Clone(name)] = met // whose memory is that of its row
		}
	}
	if met == nil {
		return
	}
	met.Rows++
	if len(met.Lines) < shown {
		met.Lines = append(met.Lines, line)
	}
}

// look finds the spelling that a name is, where nobody knows it.
func (s *spellings) look(r *sootline.Register, of sootline.AliasOf, name string) *Spelling {
	key := sootline.TypeKey(name)
	if key == "" || s.known[of][key] || r.HasAlias(of, name) {
		return nil
	}
	met := s.met[of][key]
	if met == nil && len(s.met[of]) < mostSpellings {
		met = &Spelling{Of: of, Said: strings.Join(strings.Fields(name), " ")}
		s.met[of][key] = met
	}
	return met
}

// person gives who is meant by what a row says.
func (t *taker) person(said string) string {
	meant, known := t.spelled.people[said]
	if !known {
		said = strings.Clone(said) // whose memory is that of its row
		meant = t.r.Meant(sootline.AliasPerson, strings.TrimSpace(said))
		if len(t.spelled.people) < mostSpellings {
			t.spelled.people[said] = meant
		}
	}
	return meant
}

// meetRow notes what a row calls things.
func (t *taker) meetRow(record listing.Record) {
	s := t.spelled
	switch {
	case record.Schedule != nil:
		s.meet(t.r, sootline.AliasType, record.Schedule.Type, record.Line)
		s.meet(t.r, sootline.AliasArea, record.Schedule.Area, record.Line)
	case record.Reading != nil:
		s.meet(t.r, sootline.AliasPerson, record.Reading.By, record.Line)
	case record.Event != nil:
		s.meet(t.r, sootline.AliasPerson, record.Event.By, record.Line)
		s.meet(t.r, sootline.AliasCause, record.Event.Cause, record.Line)
	}
}

// settleSpellings keeps what is certain as aliases, and gives what is to be asked.
func (t *taker) settleSpellings(o *TableOutcome) error {
	for _, of := range sootline.AliasesOf() {
		met := t.spelled.met[of]
		for _, key := range slices.Sorted(maps.Keys(met)) {
			s := met[key]
			if sure := certainly(s.Said, t.spelled.names[of]); of == sootline.AliasType && sure != "" {
				if err := t.alias(s.Answer(sure)); err != nil {
					return err
				}
				o.remark(0, fmt.Sprintf("type %q (%s) is taken as %q, which differs only in case, spaces, hyphens or the order of words", s.Said, s.where(), sure))
				continue
			}
			if s.Likely = likely(s.Said, t.spelled.names[of]); len(s.Likely) > 0 {
				o.Spellings = append(o.Spellings, s)
			}
		}
		clear(met)
	}
	return nil
}

// answered keeps what was answered for this take, before its rows are looked at.
func (t *taker) answered() error {
	if len(t.opts.Aliases) == 0 {
		return nil
	}
	t.r = t.log.Fold(Always)
	for _, body := range t.opts.Aliases {
		if err := t.alias(body); err != nil {
			return err
		}
	}
	return nil
}

// typeMeant gives the type that a row means: by its alias, or where it can mean only one.
func (t *taker) typeMeant(name string) string {
	if t.r.HasAlias(sootline.AliasType, name) || t.spelled.known[sootline.AliasType][sootline.TypeKey(name)] {
		return t.r.Meant(sootline.AliasType, name)
	}
	return cmp.Or(certainly(name, t.spelled.names[sootline.AliasType]), name)
}

// alias writes an alias: as known since always where the spelling had none, else from
// now on.
func (t *taker) alias(body sootline.Alias) error {
	e := t.app.entry(t.site, sootline.LongAgo, sootline.ID{}, body)
	if t.r != nil && t.r.HasAlias(body.Of, body.Said) {
		e.At = t.now
	}
	if err := e.Check(); err != nil {
		return err
	}
	return t.write(e)
}

// certainly gives the one name that a spelling can only mean: it has the same letters
// and figures in the same runs, whatever case, spaces and hyphens; or the same words in
// another order, where at most one of them has a figure, since figures that change
// places may mean another device.
func certainly(said string, names []string) string {
	found := ""
	for _, name := range names {
		if runsOf(said) != runsOf(name) && !reordered(said, name) {
			continue
		}
		if found != "" {
			return ""
		}
		found = name
	}
	return found
}

func parting(c rune) bool { return unicode.IsSpace(c) || unicode.Is(unicode.Pd, c) || c == '_' }

// runsOf writes a name without case, spaces and hyphens. Figures that stood apart stay
// apart: 1 12 is not 11 2.
func runsOf(name string) string {
	var out strings.Builder
	last := ' '
	apart := false
	for _, c := range strings.ToLower(name) {
		if parting(c) {
			apart = true
			continue
		}
		if apart && unicode.IsDigit(last) && unicode.IsDigit(c) {
			out.WriteByte(' ')
		}
		out.WriteRune(c)
		last, apart = c, false
	}
	return out.String()
}

func reordered(a, b string) bool {
	one, two := wordsOf(a), wordsOf(b)
	figures := 0
	for _, word := range one {
		if strings.ContainsFunc(word, unicode.IsDigit) {
			figures++
		}
	}
	return figures <= 1 && len(one) > 1 && slices.Equal(one, two)
}

func wordsOf(name string) []string {
	words := strings.FieldsFunc(strings.ToLower(name), parting)
	slices.Sort(words)
	return words
}

// lookAlike puts letters and figures together that are taken for each other. Common practice, no source.
var lookAlike = strings.NewReplacer("0", "O", "1", "I", "L", "I", "5", "S", "8", "B", "2", "Z")

// likely lists the names that a spelling may mean, the likeliest first: those of the
// same words, those with all words of the other, and those of which fewer than half of
// the letters are otherwise. Figures and letters that stand alone tell things apart:
// where they differ, it is another name.
func likely(said string, names []string) []string {
	const most = 3
	off := map[string]int{}
	var all []string
	for _, name := range names {
		if !sameMarks(said, name) {
			continue
		}
		one, two := []rune(runsOf(said)), []rune(runsOf(name))
		if off[name] = slips(one, two); swapped(one, two) {
			off[name] = 1
		}
		if lookAlike.Replace(strings.ToUpper(said)) == lookAlike.Replace(strings.ToUpper(name)) {
			off[name] = 0
		}
		if slices.Equal(wordsOf(said), wordsOf(name)) || partOf(said, name) || 2*off[name] < max(len(one), len(two)) {
			all = append(all, name)
		}
	}
	rank := func(name string) int { return 3*off[name] - 2*sharedWords(said, name) }
	slices.SortStableFunc(all, func(a, b string) int { return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a, b)) })
	return all[:min(most, len(all))]
}

// swapped reports whether two neighbouring letters changed places: one slip of the hand.
func swapped(a, b []rune) bool {
	if len(a) != len(b) {
		return false
	}
	for i := 1; i < len(a); i++ {
		if a[i-1] != b[i-1] {
			return a[i-1] == b[i] && a[i] == b[i-1] && slices.Equal(a[i+1:], b[i+1:])
		}
	}
	return false
}

// sharedWords counts the longer words that two names have in common.
func sharedWords(a, b string) int {
	shared, words := 0, wordsOf(b)
	for _, word := range wordsOf(a) {
		if len([]rune(word)) > 2 && slices.Contains(words, word) {
			shared++
		}
	}
	return shared
}

// sameMarks reports whether two names have the same figures, or one has none, and
// likewise the same letters that stand alone: initials, blocks, stairs.
func sameMarks(a, b string) bool {
	same := func(one, two []string) bool {
		slices.Sort(one)
		slices.Sort(two)
		return len(one) == 0 || len(two) == 0 || slices.Equal(one, two)
	}
	figures := func(name string) []string {
		return strings.FieldsFunc(name, func(c rune) bool { return !unicode.IsDigit(c) })
	}
	alone := func(name string) []string {
		words := strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return parting(c) || unicode.IsPunct(c) })
		return slices.DeleteFunc(words, func(w string) bool { c := []rune(w); return len(c) != 1 || !unicode.IsLetter(c[0]) })
	}
	return same(figures(a), figures(b)) && same(alone(a), alone(b))
}

// partOf reports whether all words of one name stand in the other.
func partOf(a, b string) bool {
	one, two := wordsOf(a), wordsOf(b)
	if len(one) > len(two) {
		one, two = two, one
	}
	if len(one) == 0 {
		return false
	}
	for _, word := range one {
		if len([]rune(word)) < 3 || !slices.Contains(two, word) {
			return false
		}
	}
	return true
}

// SayAlias says what a spelling means, as known since always where it had no alias. What nobody can mean as a spelling is
// refused as doubtful, unless somebody is sure.
func (a *App) SayAlias(ctx context.Context, site sootline.ID, body sootline.Alias, sure bool) (sootline.Entry, error) {
	entries := []sootline.Entry{a.entry(site, sootline.LongAgo, sootline.ID{}, body)}
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		r := log.Fold(Always)
		if err := doubtAlias(r, body); err != nil && !sure {
			return err
		}
		if r.HasAlias(body.Of, body.Said) {
			entries[0].At = entries[0].Noted
		}
		return a.append(tx, site, entries)
	})
	return entries[0], err
}
