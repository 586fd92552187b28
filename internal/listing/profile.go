package listing

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Profile holds what people answered or fixed about the listings of one source. Every field may be
// left out; what is left out is found by looking. Its JSON is documented in docs/formats/listings.md.
type Profile struct {
	Kind          Kind              `json:"kind,omitzero"`
	Sheet         string            `json:"sheet,omitzero"`          // only for the sheet of this name
	Columns       map[string]Field  `json:"columns,omitzero"`        // by heading, or by number from "1"
	DateOrder     DateOrder         `json:"date_order,omitzero"`     // "dmy", "mdy", "ymd"
	Decimal       string            `json:"decimal,omitzero"`        // "point" or "comma"
	DayOfMonth    string            `json:"day_of_month,omitzero"`   // "1" to "31", where headings name a month only
	Swapped       SwappedDays       `json:"swapped_days,omitzero"`   // "as they stand" or "exchanged"
	DraftSheet    SheetMeant        `json:"draft_sheet,omitempty"`   // whether a sheet is taken whose name speaks against its rows
	Holds         HoldsMeant        `json:"holds,omitzero"`          // "taken" or "left": values of which another column says that they may not hold
	Second        SecondMeant       `json:"second_value,omitzero"`   // "first", "last", "all" or "left": of rows with several values of one point and day
	Site          string            `json:"site,omitzero"`           // what the listing calls this site
	TitleMeans    TitleMeant        `json:"title,omitzero"`          // "taken" or "left": rows below a title that may change what they mean
	VisitNotes    NotesMeant        `json:"visit_notes,omitzero"`    // "last", "each" or "left": a remark that stands once for several visits
	ReplacedValue UnitRead          `json:"replaced_value,omitzero"` // "old" or "new": the device of a value beside a replacement
	Year          string            `json:"year,omitzero"`           // of headings that name a month or a quarter and leave the year out
	MonthHeads    MonthHeads        `json:"month_heads,omitzero"`    // "month year": "05/26" as a heading is May 2026
	Beyond        BeyondMeant       `json:"beyond,omitzero"`         // "number" or "left": values such as ">50"
	Contrary      ContraryMeant     `json:"contrary,omitzero"`       // "point" or "left": rows that the register contradicts
	RefOrder      RefOrder          `json:"ref_order,omitzero"`      // "loop address", "address loop", "loop address channel"
	AddressDigits int               `json:"address_digits,omitzero"` // of references stored as numbers
	Numbers       NumbersMeant      `json:"numbers,omitzero"`        // "listed" or "wanted": what the numbers of a schedule are
	Encoding      string            `json:"encoding,omitzero"`       // "utf-8", "windows-1252", "cp850", ...
	Separator     string            `json:"separator,omitzero"`      // ",", ";", "|", "tab", "spaces"
	Hidden        bool              `json:"hidden,omitzero"`         // hidden sheets, rows and columns are taken too
	HeaderLine    int               `json:"header_line,omitzero"`    // row of the headings; -1: there are none
	Constants     map[Field]string  `json:"constants,omitzero"`      // for fields that the list leaves out
	Outcomes      map[string]Reply  `json:"outcomes,omitzero"`       // by the words of a row, what they say of its test
	Categories    map[string]string `json:"categories,omitzero"`     // by the words of a cell, why the alarm was given: a category, or "left"
}

// NumbersMeant is how the numbers of a schedule are meant; empty: as its headings say.
type NumbersMeant string

// What the numbers of a schedule are.
const (
	NumbersListed NumbersMeant = "listed" // how the devices stand
	NumbersWanted NumbersMeant = "wanted" // how they shall be
)

// AllWanted gives the profiles with the numbers of schedules meant as those that
// devices shall have, for sheets that none of them names too.
func AllWanted(profiles []Profile) []Profile {
	all := append(slices.Clone(profiles), Profile{})
	for i := range all {
		all[i].Numbers = NumbersWanted
	}
	return all
}

// ParseProfiles reads one profile, or an array of them for the sheets of a workbook. Unknown keys are
// errors.
func ParseProfiles(data []byte) ([]Profile, error) {
	var out []Profile
	var one Profile
	target := any(&one)
	if bytes.HasPrefix(bytes.TrimSpace(data), []byte("[")) {
		target = &out
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(target); err != nil {
		return nil, fmt.Errorf("profile: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("profile: text after its end")
	}
	if target == any(&one) {
		out = []Profile{one}
	}
	for _, p := range out {
		if err := p.check(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// column finds what the profile says of a column; place -1 asks for its heading only.
func (p Profile) column(heading string, place int) (Field, bool) {
	if f, ok := p.Columns[heading]; ok && heading != "" {
		return f, true
	}
	for h, f := range p.Columns {
		if heading != "" && fold(h) == fold(heading) {
			return f, true
		}
	}
	f, ok := p.Columns[columnKey(place)]
	return f, ok && place >= 0
}

// ProfileFor picks the profile made for t: the first one naming its sheet, else the first naming none.
func ProfileFor(profiles []Profile, t *Table) Profile {
	for _, sheet := range []string{t.Name, ""} {
		for _, p := range profiles {
			if p.Sheet == sheet {
				return p
			}
		}
	}
	return Profile{}
}

// check refuses values that mean nothing.
func (p Profile) check() error {
	bad := func(key, value, want string) error {
		return fmt.Errorf("profile: %s is %q, expected %s", key, value, want)
	}
	if p.Kind != KindUnknown && p.Kind.Fields() == nil {
		return bad("kind", string(p.Kind), "types, schedule, readings, events or numbers")
	}
	if p.DateOrder != "" && p.DateOrder.set() == 0 {
		return bad("date_order", string(p.DateOrder), "dmy, mdy or ymd")
	}
	for _, one := range p.choices() {
		if one.said != "" && !slices.Contains(one.of, one.said) {
			return bad(one.key, one.said, orOf(one.of))
		}
	}
	if _, ok := yearAlone(p.Year); p.Year != "" && !ok {
		return bad("year", p.Year, "a year of four digits")
	}
	if n, ok := wholeNumber(p.DayOfMonth); p.DayOfMonth != "" && (!ok || n < 1 || n > 31) {
		return bad("day_of_month", p.DayOfMonth, "1 to 31")
	}
	if _, ok := codePage(p.Encoding); p.Encoding != "" && !ok {
		return bad("encoding", p.Encoding, "a code page such as utf-8, windows-1252 or cp850")
	}
	if _, ok := separatorByte(p.Separator); p.Separator != "" && !ok {
		return bad("separator", p.Separator, `",", ";", "|", "tab" or "spaces"`)
	}
	if p.AddressDigits < 0 || p.AddressDigits > maxAddressDigits {
		return bad("address_digits", strconv.Itoa(p.AddressDigits), "a small number")
	}
	for heading, f := range p.Columns {
		if !f.known() {
			return bad("columns."+heading, string(f), "the name of a field")
		}
	}
	for words, reply := range p.Outcomes {
		if !slices.Contains(replies, reply) {
			return bad("outcomes."+words, string(reply), "passed, failed, unreached, fault, as said, left or each")
		}
	}
	for words, category := range p.Categories {
		if !isCategory(category) && category != string(ReplyLeft) {
			return bad("categories."+words, category, orOf(append(categoryNames(), string(ReplyLeft))))
		}
	}
	for f := range p.Constants {
		if !f.known() || f == Unused || f == Trouble {
			return bad("constants", string(f), "the name of a field")
		}
	}
	return nil
}

func (f Field) known() bool {
	if f == Unused || f == Trouble {
		return true
	}
	for _, k := range []Kind{KindTypes, KindSchedule, KindReadings, KindEvents, KindNumbers} {
		if slices.Contains(k.Fields(), f) {
			return true
		}
	}
	return false
}

// The ids of questions.
const (
	AskKind       = "kind"           // what the table lists
	AskOrder      = "date_order"     // the order of day, month and year
	AskDecimal    = "decimal"        // the decimal mark
	AskType       = "type"           // which column is the type of what is fitted
	AskValue      = "value"          // which columns hold the value
	AskPoint      = "point"          // which column names the point
	AskWhat       = "what"           // whether in all rows happened what a heading lets think
	AskResult     = "result"         // which column says how tests went
	AskDate       = "date"           // the day of a list without dates
	AskFitted     = "fitted"         // whether the days of a schedule are those of fitting
	AskSheet      = "sheet"          // whether a sheet is taken whose name speaks against its rows
	AskHolds      = "holds"          // whether values hold that another column speaks against
	AskSecond     = "second_value"   // which of several values of a point and day hold
	AskSite       = "site"           // whether another name is one of this site
	AskTitle      = "title"          // whether rows hold below a title that may change what they mean
	AskNumbers    = "numbers"        // whether numbers are how it stands, or how it shall be
	AskSwapped    = "swapped_days"   // whether a program exchanged day and month where it could
	AskLoop       = "loop"           // on which loop the numbers of the list are
	AskBeyond     = "beyond"         // how a value beyond a number is to be taken
	AskNotes      = "visit_notes"    // of which visit notes are that stand once for several
	AskChannel    = "channel"        // what becomes of channels that share an address
	AskReplaced   = "replaced_value" // whether a value beside a replacement is of the old device or the new one
	AskYear       = "year"           // the year of headings that leave it out
	AskMonthHeads = "month_heads"    // whether two numbers in a heading are a month and its year
	AskMonthDay   = "day_of_month"   // the day that stands for a month
	AskEncoding   = "encoding"       // the code page of a text
	AskContrary   = "contrary"       // whether rows are of their points that the register contradicts
	AskRefOrder   = "ref_order"      // in which order the parts of references stand
	AskDigits     = "address_digits" // how references stored as numbers are meant

	// AskOutcome begins the id of a question about words of an outcome, which follow it.
	AskOutcome = "outcome:"
	// AskCategory begins the id of a question about words for why an alarm was given, which follow it.
	AskCategory = "category:"
)

// Answer puts the answer to a [Question] into the profile.
func (p *Profile) Answer(id, value string) error {
	next := *p
	switch id {
	case AskKind, AskOrder, AskSwapped, AskEncoding, AskMonthDay, AskYear, AskMonthHeads, AskReplaced, AskNotes, AskBeyond, AskContrary, AskRefOrder, AskDecimal, AskNumbers, AskSheet, AskTitle, AskSite, AskHolds, AskSecond:
		next.take(id, value)
	case AskDigits:
		n, err := strconv.Atoi(value)
		if err != nil {
			return fmt.Errorf("answer to %s: %w", id, err)
		}
		next.AddressDigits = n
	case AskDate:
		const columnDigits = 4
		if n, ok := wholeNumber(value); ok && n > 0 && len(value) <= columnDigits {
			next.Columns = withEntry(p.Columns, value, Date)
			break
		}
		if _, err := ParseDate(value, next.DateOrder); err != nil {
			return fmt.Errorf("answer to %s: %w", id, err)
		}
		next.Constants = withEntry(p.Constants, Date, value)
	case AskWhat:
		next.Kind, next.Constants = KindEvents, withEntry(p.Constants, What, value)
	case AskFitted:
		field, column, _ := strings.Cut(value, " ")
		if Field(field) != Fitted && Field(field) != Unused {
			return fmt.Errorf("answer to %s: %q is neither fitted nor unused, with a column", id, value)
		}
		next.Columns = withEntry(p.Columns, column, Field(field))
	case AskLoop:
		if err := next.takeLoop(value); err != nil {
			return err
		}
	case AskValue, AskPoint, AskResult, AskType, AskChannel:
		next.Columns = p.Columns
		for column := range strings.SplitSeq(value, ",") {
			column, field, not := strings.Cut(column, "=") // "3=unused": the answer was no
			if !not {
				field = id
			}
			next.Columns = withEntry(next.Columns, column, Field(field))
		}
	default:
		if err := next.takeWords(id, value); err != nil {
			return err
		}
	}
	if err := next.check(); err != nil {
		return err
	}
	*p = next
	return nil
}

// takeWords takes the answer to a question about words of the listing, which stand in its id.
func (p *Profile) takeWords(id, value string) error {
	if words, ok := strings.CutPrefix(id, AskCategory); ok {
		p.Categories = withEntry(p.Categories, words, value)
		return nil
	}
	words, ok := strings.CutPrefix(id, AskOutcome)
	if !ok {
		return fmt.Errorf("answer: there is no question %q", id)
	}
	wordings := []string{words}
	if strings.HasPrefix(words, besidePass) {
		wordings = strings.Split(words, between)
	}
	for _, wording := range wordings {
		p.Outcomes = withEntry(p.Outcomes, wording, Reply(value))
	}
	return nil
}

func withEntry[K comparable, V any](m map[K]V, key K, value V) map[K]V {
	out := map[K]V{key: value}
	for k, v := range m {
		if k != key {
			out[k] = v
		}
	}
	return out
}

func (p Profile) choice() layoutChoice { return layoutChoice{p.Encoding, p.Separator, p.Hidden} }

// forLeft drops what speaks of the layout of the file that a left file came from.
func (p Profile) forLeft() Profile {
	p.HeaderLine, p.Encoding, p.Separator = 0, "", ""
	return p
}
