package listing

import "slices"

// Understanding is what was understood of a table, with the reasons.
type Understanding struct {
	File, Table         string
	Kind                Kind
	KindWhy             string
	Refused             bool // nothing of it can be read, as KindWhy says
	Bare                bool // no heading and no column speaks for a listing, as on the cover of a workbook
	HeaderLine          int  // row of the headings; 0: there are none
	HeaderWhy           string
	Columns             []Column // every column, also those that are not used
	Questions           []Question
	Rows                int         // rows to take, good and bad; one of a wide table may give several readings, or none
	Skipped             []Skipped   // rows that are none: titles, totals, repeated headings
	Unreadable          int         // rows too long, too wide or out of line; each gives a RowError
	LeftOut             HiddenParts // what is hidden, and was left out
	Encoding, Separator string      // of a text file

	profile         Profile
	known           *Known
	sections        sections
	titles          map[string]bool      // above the headings, without their numbers
	paged           bool                 // a page number stands above the headings
	unsureTitle     string               // with a day that may be that of the paper; empty: none
	said            context              // by titles and the name of the sheet
	context         context              // what of that holds for the rows
	instead         []int                // columns that are filled where the value is not
	holds           []holdColumn         // columns that say whether values hold
	seconds         *seconds             // rows that have another value of a point and day than one before
	areas           []int                // columns of names of areas that are not kept
	claims          []claim              // columns that the register may contradict
	fittedMarks     int                  // the column of a schedule that says yes or no to whether a device is fitted; -1: none
	former          int                  // the column of numbers that the devices of a schedule had; -1: none
	headedWanted    bool                 // the heading of the numbers of a schedule is of those that devices shall have
	removed         int                  // the column of devices taken out of a schedule; -1: none
	weekday         int                  // the column of days of the week; -1: none
	marked          bool                 // most rows begin with a mark that may put one out of the list
	site            int                  // the column of names of sites; -1: none
	states          []int                // columns of a schedule that say in which state devices are
	turning, turned titleBetween         // a title between rows that may change what those below it mean; the first with rows below it
	titleLoop       string               // of a title that the rows contradict
	titleZone       string               // of a title that the register contradicts
	place           func(column int) int // where it stands in the sheet
	refOrder        RefOrder
	members         map[string][]Ref // of zones, in the order in which a list may count them
	left            bool
	header          []string
	lx              *lexicon
	facts           []facts // parallel to Columns
	visits          []visit // of a wide table
	total           []int   // columns with a reference, to tell a total from a row
	openCategories  []openCategory
	asides          *asides // of a table of events, while it is looked at
}

// Column is what one column was taken for.
type Column struct {
	At         int    // place in the sheet, from 0
	Index      int    // place in [Row.Cells], from 0; a profile counts from 1
	Heading    string // as written
	Unit       string // found in the heading
	Quantity   string // that the heading names beside its unit
	Field      Field
	Why        string
	Samples    []string  // the first few different cells
	Filled     int       // cells that are not empty
	DateOrder  DateOrder // of a date column, or of such a heading; empty: not settled, or not needed
	serialDays bool      // its days are numbers that a spreadsheet counts by
	apart      Apart
	lists      bool   // of values: half of its cells and more hold several
	midnights  bool   // its times of day are all midnight: a program wrote them behind plain days
	leads      bool   // words stand behind the references of its cells
	carries    bool   // a cell holds for the empty ones below it
	Date       *Civil // of a value column whose heading is the day of a visit
	Decimal    string // of a number column: "point", "comma", or empty when not settled
}

// Skipped counts rows that were passed over.
type Skipped struct {
	Why   string
	Count int
	First int // row of the first one
}

// Question is something that cannot be told from the table. [Profile.Answer] takes the answer; a
// question without choices takes free text.
type Question struct {
	ID, Text string
	Choices  []Choice
	Aside    bool `json:",omitzero"` // some rows hang on it: they are put aside until it is answered, the others can be taken
}

// Choice is one possible answer.
type Choice struct{ Value, Text string }

// Profile gives all that was settled, to be saved for the next listing of the same source. The place of
// the headings is kept only if it was given. Visits named by their headings are left out: the next
// listing has others, and tells them as well.
func (u *Understanding) Profile() Profile {
	p := u.profile
	p.Kind = u.Kind
	p.Columns = map[string]Field{}
	for i, c := range u.Columns {
		if c.DateOrder != "" {
			p.DateOrder = c.DateOrder
		}
		if c.Decimal != "" {
			p.Decimal = c.Decimal
		}
		_, given := u.profile.column(c.Heading, i)
		switch {
		case c.Field == Trouble, !given && (c.Field == Unused || u.isVisit(i)):
		case c.Heading != "" && u.onlyHeading(i):
			p.Columns[c.Heading] = c.Field
		default:
			p.Columns[columnKey(i)] = c.Field
		}
	}
	return p
}

func (u *Understanding) isVisit(i int) bool {
	return slices.ContainsFunc(u.visits, func(v visit) bool {
		return slices.Contains(v.columns, i) || slices.ContainsFunc(v.notes, func(n slot) bool { return n.column == i })
	})
}

func (u *Understanding) onlyHeading(i int) bool {
	for j, c := range u.Columns {
		if j != i && c.Heading == u.Columns[i].Heading {
			return false
		}
	}
	return true
}

// column gives the first column of a field, -1 for none.
func (u *Understanding) column(f Field) int {
	for i := range u.Columns { // not as values: columns are large, and every row asks
		if u.Columns[i].Field == f {
			return i
		}
	}
	return -1
}

func (u *Understanding) has(fields ...Field) bool {
	for _, f := range fields {
		if u.column(f) >= 0 {
			return true
		}
	}
	return false
}

func (u *Understanding) ask(id, text string, choices ...Choice) {
	u.Questions = append(u.Questions, Question{ID: id, Text: text, Choices: choices})
}

// Blocking gives the first question without whose answer nothing of the table can be taken.
func (u *Understanding) Blocking() (Question, bool) {
	i := slices.IndexFunc(u.Questions, func(q Question) bool { return !q.Aside })
	if i < 0 {
		return Question{}, false
	}
	return u.Questions[i], true
}

// Letter names the place of a column as spreadsheets do: A, B, C.
func (c Column) Letter() string { return columnName(c.At + 1) }
