package listing

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// A table is understood from its first rows, and the rest of it is only watched for what needs every
// row: the order of dates, the decimal mark, what is skipped.
const (
	sampleRows = 1000
	sampleSize = 4 << 20 // bytes of cells
)

// study is one pass over a table.
type study struct {
	t         *Table
	u         *Understanding
	sample    []Row
	size      int
	content   []content
	days      []string // of a wide table, by column: the day in the heading, "" for none; else nil
	trials    bool     // of a wide table: its cells say how tests went
	roles     []Field
	whys      []string // of the roles
	matches   []match
	decided   bool
	strangers bool // no word of its headings is known
	known     *Known
	barred    map[int]string         // columns of which nothing is taken, with the reason
	asked     map[int]string         // columns that are no value unasked, with the reason
	doubts    map[int]doubt          // columns that would have a role but for a word of their headings
	weighedAs map[int]weighed[Field] // columns that are another thing than their heading says
	merged    []int                  // columns that have their heading from a cell merged over several
	under     []string               // a second row of headings, under the days of visits
	happened  headedHappening
	firstBad  *RowError
	bad       []int // rows that could not be read while the place of the headings was not yet known
}

// Understand reads the table once and decides what it is. It fails only when the table cannot be read
// or the profile does not fit it; all that is merely unclear becomes a [Question].
func Understand(t *Table, p Profile) (*Understanding, error) { return (*Known)(nil).Understand(t, p) }

// Understand does so, and holds the table against what is known.
func (k *Known) Understand(t *Table, p Profile) (*Understanding, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if t.Left {
		p = p.forLeft()
	}
	u := &Understanding{known: k, File: t.File, Table: t.Name, profile: p, left: t.Left, lx: newLexicon(), context: context{}, site: -1, former: -1, fittedMarks: -1, removed: -1, weekday: -1, place: t.place}
	u.sections.lx, u.sections.says = u.lx, u.titleSays
	u.said = u.titleSays(withoutExtension(t.Name)).with(u.titleSays(t.Title)).with(t.said)
	for _, text := range t.beside {
		u.said = u.said.with(u.titleSays(text))
	}
	u.Encoding, u.Separator = t.src.layout(p.choice())
	if text, ok := t.src.(*textSource); ok && text.doubted != nil && p.Encoding == "" {
		u.askPage(text.doubted)
	}
	s := &study{t: t, u: u, known: k, weighedAs: map[int]weighed[Field]{}, barred: map[int]string{}, asked: map[int]string{}, doubts: map[int]doubt{}}
	if err := s.read(p.choice()); err != nil {
		return nil, err
	}
	if err := s.decide(); err != nil {
		return nil, err
	}
	u.settle()
	if u.LeftOut = t.LeftOut; u.LeftOut.Rows > 0 {
		u.Skipped = append(u.Skipped, Skipped{HiddenRows, u.LeftOut.Rows, u.LeftOut.FirstRow})
	}
	return u, nil
}

// read passes over all rows of the table.
func (s *study) read(choice layoutChoice) error {
	var in Row // the row in hand: one for all, so that none is a piece of memory of its own
	for row, err := range s.t.rows(choice) {
		if err != nil {
			bad, ok := errors.AsType[*RowError](err)
			if !ok {
				return err
			}
			bad.Line = row.Line
			s.unreadable(bad)
			continue
		}
		in = row
		s.u.sections.observe(&in)
		if s.decided {
			s.u.observe(&in)
		} else if err := s.keep(row); err != nil {
			return err
		}
	}
	return nil
}

// unreadable counts a row that could not be read, unless it stands above the headings.
func (s *study) unreadable(bad *RowError) {
	line := bad.Line
	if s.firstBad == nil {
		s.firstBad = bad
	}
	switch {
	case s.decided || len(s.bad) == sampleRows:
		s.u.Unreadable++
	default:
		s.bad = append(s.bad, line)
	}
}

// keep adds a row to the sample, and decides once that is large enough.
func (s *study) keep(row Row) error {
	for _, c := range row.Cells {
		s.size += len(c)
	}
	row.Cells, row.kinds, row.across = slices.Clone(row.Cells), slices.Clone(row.kinds), slices.Clone(row.across)
	s.sample = append(s.sample, row)
	if len(s.sample) < sampleRows && s.size < sampleSize {
		return nil
	}
	return s.decide()
}

// decide fixes headings, columns and kind from the sample, then watches the sample's own rows.
func (s *study) decide() error {
	if s.decided {
		return nil
	}
	s.decided = true
	u := s.u
	s.findOpenHeads()
	at, why := s.findHeader()
	at = s.wordsUnderDays(s.yearsOverMonths(at))
	u.HeaderWhy = why
	if at >= 0 {
		u.HeaderLine, u.header = s.sample[at].Line, s.sample[at].Cells
	}
	s.nameColumns()
	s.headMerged(at)
	s.addDaysAbove(at)
	s.gatherTitles()
	s.measure()
	if err := s.checkProfileColumns(); err != nil {
		return err
	}
	s.readHeadings()
	s.findVisits()
	u.paged = s.isPaged()
	s.titlesSay()
	s.settleKind()
	s.doubtFormerNumbers()
	s.assign()
	s.doubtTwice()
	s.doubtMerged()
	s.settleVisits()
	s.doubtSameDay()
	s.doubtShares()
	s.settleNotes()
	s.doubtChannels()
	s.doubtReplaced()
	s.settleCarried()
	s.doubtZones()
	s.settleOrderOfRefs()
	s.findZoneSlip()
	s.settleClaims()
	s.findInRows()
	s.settleContext()
	s.refuseRanges()
	s.refuseSpans()
	s.doubtNames()
	s.askForMissing()
	s.learnNames()
	u.prepare()
	for i := range s.sample {
		u.observe(&s.sample[i])
	}
	for _, line := range s.bad {
		if line >= u.HeaderLine {
			u.Unreadable++
		}
	}
	s.sample, s.bad = nil, nil
	return nil
}

// doubtNames asks where the name of the sheet, or a title, speaks against the rows.
func (s *study) doubtNames() {
	s.doubtSheet()
	s.doubtTitles()
	s.doubtTitleYear()
	s.doubtSite()
}

// findInRows finds what speaks for or against single rows: states, marks, days of the week, what stands in place of a value.
func (s *study) findInRows() {
	s.settleStatus()
	s.settleRemoved()
	s.settleFormer()
	s.settleHolds()
	s.findInstead()
	s.findWeekdays()
	s.findPutOut()
}

// nameColumns makes a column for each heading and each cell of the widest row.
func (s *study) nameColumns() {
	width := len(s.u.header)
	for _, r := range s.sample {
		width = max(width, len(r.Cells))
	}
	s.u.Columns = make([]Column, width)
	for i := range width {
		s.u.Columns[i] = Column{Index: i, At: s.u.place(i), Field: Unused}
		if i < len(s.u.header) {
			s.u.Columns[i].Heading = strings.TrimSpace(s.u.header[i])
		}
	}
}

// measure looks at the cells of each column below the headings.
func (s *study) measure() {
	width, visits := len(s.u.Columns), 0
	s.content = make([]content, width)
	s.roles, s.whys = make([]Field, width), make([]string, width)
	for i, c := range s.u.Columns {
		s.content[i].distinct = map[string]bool{}
		if s.u.lx.visitDate(c.Heading) != "" {
			visits++ // not every point is read each time, and yet its row is no title
		}
	}
	fewest := 0
	if width > 2 && visits == 0 {
		fewest = 1 // one cell is a title or a foot
	}
	for _, r := range s.sample {
		first, _ := firstFilled(r.Cells)
		filled := filledCells(r.Cells)
		if first >= 0 && 2*filled <= width && s.u.isTotal(r.Cells[first]) {
			continue // its sum may stand where no other row has anything
		}
		if r.Line <= s.u.HeaderLine || filled <= max((width-visits)/4, fewest) || s.u.isTitleAgain(r.Cells) || s.u.repeatsHeader(r.Cells) || isRuling(r.Cells[max(first, 0):]) {
			continue
		}
		for i, c := range r.Cells {
			s.content[i].look(c, r.kind(i), s.u.lx, s.known)
		}
	}
	for i := range s.content {
		s.roles[i], s.whys[i] = s.content[i].role()
	}
	s.findLeads()
}

func columnKey(place int) string { return strconv.Itoa(place + 1) }

// checkProfileColumns refuses a profile that names a column which the table does not have.
func (s *study) checkProfileColumns() error {
	var headings []string
	seen := map[string]bool{}
	for i, c := range s.u.Columns {
		headings = append(headings, strconv.Quote(c.Heading))
		seen[fold(c.Heading)], seen[columnKey(i)] = true, true
	}
	for h := range s.u.profile.Columns {
		if !seen[fold(h)] && !seen[h] {
			return &FileError{
				File: s.t.File, Trouble: fmt.Sprintf("the profile names a column %q that is not there", h),
				Hint: "the headings are " + strings.Join(headings, ", "),
			}
		}
	}
	return nil
}

// readHeadings takes each heading for what it says, whatever the kind of the table.
func (s *study) readHeadings() {
	s.matches = make([]match, len(s.u.Columns))
	for i, c := range s.u.Columns {
		m := s.wholly(c.Heading, s.u.lx.heading(c.Heading))
		if c.Heading == "" {
			m = match{}
		}
		s.u.Columns[i].Unit, s.u.Columns[i].Quantity = m.unit, m.quantity
		if f, ok := s.u.profile.column(c.Heading, i); ok {
			m = match{field: f, strength: strengthProfile, unit: m.unit, base: m.base}
		}
		m = s.ownDay(i, s.ordered(i, s.holdsDays(i, m)))
		s.matches[i] = s.holdsPlace(i, s.holdsLength(i, s.holdsWhole(i, m)))
	}
	s.findHeadedRefs()
	s.findFittedMarks()
	s.findSiteColumn()
	s.barRunning()
	s.barUnlike()
	s.barValueWords()
	s.pairNights()
	s.pairValues()
	s.joinDays()
	s.weighColumns()
	s.findCategory()
	s.readResults()
	s.findTicks()
	s.doubtHeadedOutcomes()
	s.findHeadedHappenings()
}

// readResults takes a result in numbers for a value, but for one of ones and zeros beside what happened.
func (s *study) readResults() {
	for i := range s.matches {
		m, c := &s.matches[i], &s.content[i]
		ones := c.mostly(c.marks) && (s.found(What) || s.happenings() >= 0 || s.u.lx.polarity(s.u.Columns[i].Heading) != poleNone)
		if m.field == Result && m.strength != strengthProfile && c.filled > 0 && c.half(c.numbers+c.lists) && !ones {
			m.field = Value
		}
	}
}

// found tells whether a heading, or a column's cells, speak for a field.
func (s *study) found(fields ...Field) bool {
	for i, m := range s.matches {
		if slices.Contains(fields, m.field) && (m.strength > strengthContained || s.agrees(i, m.field)) {
			return true
		}
	}
	return false
}

// agrees tells whether the cells of a column can be what its heading only hints at.
func (s *study) agrees(i int, f Field) bool {
	c := &s.content[i]
	switch {
	case f.isNumeric():
		return c.halfNumbers()
	case f.isDate():
		return c.half(c.dates + c.serialDays)
	case f == Result:
		return c.dates == 0
	case f.isNumber() && f != number:
		return c.half(c.numbers + c.refs + c.weak)
	case f == Time:
		return c.half(c.times + c.dates)
	}
	return true
}

// byContent tells whether a column that no heading explains has a role.
func (s *study) byContent(role Field) bool {
	for i := range s.roles {
		if s.roles[i] == role && s.barred[i] == "" && (s.matches[i].field == "" || s.matches[i].field == description || s.matches[i].field == Type) {
			return true
		}
	}
	return false
}
