package listing

import (
	"cmp"
	"slices"
	"strings"
)

// outcome is what a row of events says: what happened and how it went, or what has to be asked.
type outcome struct {
	what    Happening
	outcome Outcome
	told    string // the words that say how it went, where they are more than what happened
	key     string // the words that leave it open; empty where nothing is to be asked
	left    bool   // the answer was to put such rows aside
	sure    bool   // a person said so
	remark  string // what stands beside a pass and is not known, as it was first written
}

// Reply is the answer to what the words of a row say of its test.
type Reply string

// The replies.
const (
	ReplyPassed    Reply = "passed"
	ReplyFailed    Reply = "failed"
	ReplyUnreached Reply = "unreached"
	ReplyFault     Reply = "fault"
	ReplyAsSaid    Reply = "as said" // what happened, and no test
	ReplyLeft      Reply = "left"
	ReplyEach      Reply = "each" // each of several wordings is to be asked about by itself
)

var replies = []Reply{ReplyPassed, ReplyFailed, ReplyUnreached, ReplyFault, ReplyAsSaid, ReplyLeft, ReplyEach}

// outcomes finds them, row by row. It is used by one goroutine.
type outcomes struct {
	u       *Understanding
	what    slot
	results []slot
	poles   []polarity
	texts   []slot       // whose words may contradict a test
	opposed bool         // one column is ticked where a test passed, and one where it failed
	marks   map[int]bool // those of their columns that say yes or no to what is not known
	known   map[string]outcome
	cells   []string
	scratch []byte
}

// mostKnown bounds the rows whose outcome is remembered.
const mostKnown = 4096

func newOutcomes(u *Understanding) *outcomes {
	o := &outcomes{u: u, what: u.slot(What), known: map[string]outcome{}, marks: map[int]bool{}}
	for i, c := range u.Columns {
		switch {
		case c.Field == Result:
			o.results = append(o.results, slot{i, "", Result})
			o.poles = append(o.poles, u.lx.polarity(c.Heading))
		case c.Field == Text || c.Field == Cause || c.Field == Unused && u.mayContradict(i):
			o.texts = append(o.texts, slot{i, "", c.Field})
			o.marks[i] = u.lx.areMarks(c.Samples)
		}
	}
	o.opposed = areOpposed(o.poles)
	if said := u.slot(Result).constant; said != "" && len(o.results) == 0 {
		o.results, o.poles = []slot{{-1, said, Result}}, []polarity{poleNone}
	}
	for _, f := range []Field{Text, Cause} {
		if s := u.slot(f); s.column < 0 && s.constant != "" {
			o.texts = append(o.texts, s)
		}
	}
	return o
}

// mayContradict: a column of which nothing is taken may still say that a test failed, unless its heading says
// that it is about something else, or a person said that it is not used. Under the name of a setting may stand how that
// was found.
func (u *Understanding) mayContradict(i int) bool {
	heading := u.Columns[i].Heading
	if f, ok := u.profile.column(heading, i); ok && f == Unused {
		return false
	}
	m := u.lx.heading(heading)
	return m.strength < strengthExact || slices.Contains([]Field{What, Result, Text, Cause, Remark, Value, Setting, description}, m.field)
}

// of gives what a row says, with the answers that the profile has.
func (o *outcomes) of(row *Row) outcome {
	o.cells, o.scratch = o.cells[:0], o.scratch[:0]
	add := func(s slot) {
		cell, _ := s.get(row)
		o.cells = append(o.cells, cell)
		o.scratch = append(append(o.scratch, cell...), 0)
	}
	add(o.what)
	for _, s := range o.results {
		add(s)
	}
	for _, s := range o.texts {
		add(s)
	}
	if known, ok := o.known[string(o.scratch)]; ok {
		return known
	}
	if len(o.known) >= mostKnown {
		clear(o.known)
	}
	found := o.answered(o.judge())
	o.known[string(o.scratch)] = found
	return found
}

// answered puts the answer to an open one.
func (o *outcomes) answered(open outcome) outcome {
	if open.key == "" {
		return open
	}
	done := outcome{what: Tested, told: open.told, sure: true}
	switch o.u.profile.Outcomes[open.key] {
	case ReplyPassed:
		done.outcome = Passed
	case ReplyFailed:
		done.outcome = Failed
	case ReplyUnreached:
		done.outcome = Missed
	case ReplyFault:
		done.what = Faulty
	case ReplyAsSaid:
		done.what = open.what
		if done.what == "" || done.what == Tested {
			return open // what it says is what is asked
		}
	case ReplyLeft:
		open.left = true
		return open
	default:
		return open
	}
	return done
}

// evidence is what the cells of one row say together.
type evidence struct {
	happening     Happening
	what, results says // the cells that are there to say it
	texts         says // those that may contradict
	blank         bool // a column of results that says nothing of this row
	test          bool
	words         []string
	strays        []string // words that are not known to be harmless, outside the columns of results
	remarks       []string // the cells that they stand in
	others        []string // words beside what happened that may make another thing of it
}

// judge reads the cells in hand.
func (o *outcomes) judge() outcome {
	e := o.gather()
	out := outcome{what: e.happening, told: o.told(e)}
	judging := e.what.with(e.results)
	switch {
	case e.happening != "" && e.happening != Tested && len(e.others) > 0 && !e.test:
		return o.open(out, e)
	case e.happening == Faulty && !judging.good() && !e.test && !judging.missed && !judging.untried:
		out.told = strings.Join(nonEmpty(o.cells[1:1+len(o.results)]), " ")
		return out
	case e.happening != "" && e.happening != Tested && e.happening != Faulty:
		if e.results.bad() || e.results.doubt || e.texts.missed || e.texts.untried || (e.happening == Cleaned || e.happening == Restored) && (e.what.fail || e.what.broken || e.what.doubt) {
			return o.open(out, e)
		}
		out.told = ""
		return out
	case e.test:
		return o.test(out, e, judging)
	case judging.broken && len(e.others) > 0 && e.what.broken:
		return o.open(out, e)
	case judging.broken && !judging.fail && !judging.doubt && !judging.good() && !judging.missed && !judging.untried:
		out.what = Faulty
		return out
	case judging.missed && !judging.bad() && !judging.good() && !judging.doubt && !judging.untried:
		out.what, out.outcome = Tested, Missed
		return out
	case judging.good() || judging.contrary():
		return o.open(out, e)
	}
	return out
}

// test settles how a test went: certain, or open.
func (o *outcomes) test(out outcome, e evidence, judging says) outcome {
	out.what = Tested
	failed := judging.fail || judging.broken || e.results.flaw
	switch {
	case judging.doubt || judging.denied || judging.untried || e.results.unknown:
		return o.open(out, e)
	case failed && (judging.good() || judging.missed || e.texts.good() || e.texts.missed || e.texts.untried):
		return o.open(out, e)
	case failed:
		out.outcome = Failed
	case e.what.flaw || e.happening == Faulty:
		return o.open(out, e)
	case judging.missed && (judging.good() || e.texts.good() || e.texts.bad()):
		return o.open(out, e)
	case judging.missed:
		out.outcome = Missed
	case e.texts.contrary(), e.blank && !judging.good():
		return o.open(out, e)
	case len(e.strays) > 0:
		return o.beside(out, e)
	default:
		out.outcome, out.told = Passed, ""
	}
	return out
}

// gather reads every cell of the row in hand.
func (o *outcomes) gather() evidence {
	lx, said := o.u.lx, o.cells[0]
	var e evidence
	e.happening, _ = lx.event(said)
	e.what = lx.verdict(said)
	if lx.events[fold(said)] == Restored { // the phrase has the word for what ended in it
		e.what = says{}
	}
	if strings.Contains(said, "?") {
		e.what.doubt = true
	}
	e.addStrays(said, e.what)
	e.others = append(lx.beyondEvent(said, cmp.Or(e.happening, Faulty)), doubtMarks(said)...)
	severalThings := e.happening == "" && said != "" && lx.isSeveral(said)
	e.words = nonEmpty(o.cells[:1])
	if o.addOpposed(&e) {
		return o.gatherTexts(e, said, severalThings)
	}
	for i, s := range o.results {
		cell := o.cells[1+i]
		e.addResult(lx, cell, o.poles[i])
		switch {
		case cell != "":
			e.words = append(e.words, cell)
		case s.column >= 0 && o.poles[i] != poleFailed:
			e.words = append(e.words, "(empty)")
		}
	}
	return o.gatherTexts(e, said, severalThings)
}

// gatherTexts adds what may contradict, and settles whether the row is of a test.
func (o *outcomes) gatherTexts(e evidence, said string, severalThings bool) evidence {
	for i, cell := range o.cells[1+len(o.results):] {
		o.addText(&e, cell, o.texts[i])
	}
	e.test = e.happening == Tested || !severalThings && (e.what.test || e.what.untried && e.happening == "")
	e.test = e.test || said == "" && len(o.results) > 0 && !e.blank || o.headsTest() && said != "" && e.happening == ""
	e.test = e.test || e.happening == "" && !severalThings && (e.results.test || len(o.results) > 0 && !e.blank && e.what.anything())
	return e
}

func (e *evidence) addResult(lx *lexicon, cell string, pole polarity) {
	if cell == "" {
		e.blank = e.blank || pole != poleFailed
		return
	}
	v, ok := lx.mark(cell, pole)
	if !ok {
		v = lx.verdict(cell)
		v.unknown = v.unknown || !v.anything() && !v.test
	}
	v.doubt = v.doubt || strings.Contains(cell, "?")
	e.results = e.results.with(v)
}

// addText reads a cell that may speak against a pass.
func (o *outcomes) addText(e *evidence, cell string, s slot) {
	lx := o.u.lx
	if cell == "" || s.field != Unused && isNothing(cell) {
		return
	}
	marks := o.marks[s.column]
	if _, number := anyNumber(cell); number && !marks {
		return
	}
	t := lx.verdict(cell)
	t.doubt = t.doubt || strings.Contains(cell, "?")
	if t.contrary() || t.good() {
		e.words = append(e.words, cell)
		e.texts = e.texts.with(t)
	}
	_, mark := lx.yes[fold(cell)] // a yes or a no to what is not known
	t.denied = t.denied || mark
	e.addStrays(cell, t)
}

// addStrays keeps the words of a cell that are not known; where something is denied that is not known, all of
// them, for then each counts.
func (e *evidence) addStrays(cell string, s says) {
	switch {
	case s.denied:
		e.strays = append(e.strays, fold(cell))
	case s.unknown:
		e.strays = append(e.strays, s.strays...)
	default:
		return
	}
	e.remarks = append(e.remarks, cell)
}

// areMarks: every one of a column's cells is a yes or a no.
func (lx *lexicon) areMarks(cells []string) bool {
	return len(cells) > 0 && !slices.ContainsFunc(cells, func(cell string) bool { _, mark := lx.yes[fold(cell)]; return !mark })
}

// isNothing: a remark that says only that there is none.
func isNothing(cell string) bool {
	switch fold(cell) {
	case "none", "nil", "nothing", "keine", "nichts", "aucun", "aucune", "rien", "ninguno", "ninguna", "nada", "nessuno", "nessuna", "niente", "geen", "niets":
		return true
	}
	return strings.Trim(cell, "-–—./ ") == ""
}

// headsTest: the column of what happened is headed as one of results or of tests.
func (o *outcomes) headsTest() bool {
	if o.what.column < 0 {
		return false
	}
	heading := fold(o.u.Columns[o.what.column].Heading)
	_, result := o.u.lx.results[heading]
	return result || o.u.lx.events[heading] == Tested
}

// with adds what another cell says.
func (s says) with(t says) says {
	return says{
		pass: s.pass || t.pass, fail: s.fail || t.fail, broken: s.broken || t.broken, flaw: s.flaw || t.flaw, clear: s.clear || t.clear,
		missed: s.missed || t.missed, untried: s.untried || t.untried, test: s.test || t.test,
		doubt: s.doubt || t.doubt, odd: s.odd || t.odd, denied: s.denied || t.denied, unknown: s.unknown || t.unknown,
	}
}

// open leaves the row to be asked about.
func (o *outcomes) open(out outcome, e evidence) outcome {
	out.key = strings.Join(strings.Fields(strings.Join(e.words, " | ")), " ")
	return out
}

// besidePass begins the key of what stands beside a pass and is not known.
const besidePass = "beside a pass: "

// beside leaves a row to be asked about that would be a pass, but for words that are not known to be harmless.
// Rows with the same such words are one question, whatever else is known of them.
func (o *outcomes) beside(out outcome, e evidence) outcome {
	out.key = besidePass + strings.Join(e.strays, " ")
	out.remark = strings.Join(e.remarks, " | ")
	return out
}

// told joins the words that say how it went; a bare word for what happened says no more than that.
func (o *outcomes) told(e evidence) string {
	cells := nonEmpty(o.cells[1 : 1+len(o.results)])
	if said := o.cells[0]; said != "" && o.u.lx.events[fold(said)] == "" {
		cells = append([]string{said}, cells...)
	}
	return strings.Join(cells, " ")
}

func nonEmpty(cells []string) []string {
	var out []string
	for _, c := range cells {
		if c != "" {
			out = append(out, c)
		}
	}
	return out
}
