package listings

import (
	"slices"
	"unicode"
)

// spoiling is a way in which listings are spoilt. One without functions is looked up where cells are made.
type spoiling struct {
	name  string
	open  bool // it leaves something that nobody can settle without asking
	fits  func(m *maker) bool
	table func(m *maker, t *table) bool    // changes a table before it is arranged; nil: it does not
	sheet func(m *maker, d *document) bool // changes the document; nil: it does not
	bytes bool                             // the writer applies it
}

// Spoilings lists the spoilings by name.
func Spoilings() []string {
	var all []string
	for _, s := range spoilings() {
		all = append(all, s.name)
	}
	return all
}

// drawSpoilings chooses which of those that fit are tried.
func (m *maker) drawSpoilings() {
	var usual, open []spoiling
	for _, s := range spoilings() {
		switch {
		case !s.fits(m):
		case s.open:
			open = append(open, s)
		default:
			usual = append(usual, s)
		}
	}
	if len(open) > 0 && m.rng.IntN(openShare) == 0 {
		m.flags[open[m.rng.IntN(len(open))].name] = true
	}
	for range m.rng.IntN(mostSpoilings + 1) {
		if len(usual) > 0 {
			m.flags[usual[m.rng.IntN(len(usual))].name] = true
		}
	}
	m.settleSpoilings()
}

// settleSpoilings takes out those that would undo others, or together leave nothing certain.
func (m *maker) settleSpoilings() {
	if m.flags["UTF-16"] {
		delete(m.flags, "code page")
		delete(m.flags, "byte order mark")
	}
	if m.flags["code page"] {
		delete(m.flags, "byte order mark")
	}
	if m.flags["days either way"] { // nothing else may settle the days
		for _, other := range []string{"decoy days", "days in several ways", "hidden rows"} {
			delete(m.flags, other)
		}
	}
	if m.flags["decimals unquoted"] { // what else puts separators into cells would leave too much open
		for _, other := range []string{"separators in cells", "decimals", "empty columns"} {
			delete(m.flags, other)
		}
	}
}

// spoilTables applies what changes tables.
func (m *maker) spoilTables(all []*table) {
	for _, s := range spoilings() {
		if s.table == nil || !m.flags[s.name] {
			continue
		}
		for _, t := range all {
			if s.table(m, t) {
				m.done[s.name] = true
			}
		}
	}
}

// spoilDocument applies what changes the document as a whole.
func (m *maker) spoilDocument(d *document) {
	for _, s := range spoilings() {
		switch {
		case !m.flags[s.name]:
		case s.bytes:
			m.done[s.name] = true
		case s.sheet != nil && s.sheet(m, d):
			m.done[s.name] = true
		}
	}
}

// spoilings lists them all in the order in which they are applied: what changes cells, then what adds columns, then what
// adds rows, so that each sees what was there before.
func spoilings() []spoiling {
	return slices.Concat(cellSpoilings(), openSpoilings(), columnSpoilings(), headSpoilings(), rowSpoilings(), fileSpoilings())
}

func headed(m *maker) bool   { return !m.layout.bare }
func plainly(m *maker) bool  { return m.layout.plain }
func workbook(m *maker) bool { return m.format == "xlsx" || m.format == "ods" }
func onText(m *maker) bool   { return m.format == "csv" || m.format == "text" }
func ofKind(kinds ...kindOfLayout) func(m *maker) bool {
	return func(m *maker) bool { return slices.Contains(kinds, m.layout.kind) }
}

// both joins conditions.
func both(all ...func(m *maker) bool) func(m *maker) bool {
	return func(m *maker) bool {
		for _, fits := range all {
			if !fits(m) {
				return false
			}
		}
		return true
	}
}

func not(fits func(m *maker) bool) func(m *maker) bool {
	return func(m *maker) bool { return !fits(m) }
}

func dated(m *maker) bool { return m.layout.dated }

func inFormat(name string) func(m *maker) bool {
	return func(m *maker) bool { return m.format == name }
}

func fileSpoilings() []spoiling {
	accents := func(m *maker) bool { return m.format == "csv" && m.lang.name != "English" }
	return []spoiling{
		{name: "code page", fits: accents, bytes: true},
		{name: "byte order mark", fits: onText, bytes: true},
		{name: "UTF-16", fits: inFormat("csv"), bytes: true},
		{name: "line ends", fits: onText, bytes: true},
		{name: "decimals unquoted", fits: both(inFormat("csv"), plainly, dated, ofKind(readingKind), oneValue, usesComma), bytes: true},
	}
}

// oneValue reports a layout with one column of values.
func oneValue(m *maker) bool {
	return slices.Contains([]string{"readings", "readings, points joined", "readings, loop and address apart"}, m.layout.name)
}

func usesComma(m *maker) bool { return m.lang.comma }

func headSpoilings() []spoiling {
	onHead := func(change func(m *maker, text string) string) func(m *maker, t *table) bool {
		return func(m *maker, t *table) bool {
			changed := false
			for _, c := range t.cols {
				if c.head == nil || c.head.kind != textCell {
					continue
				}
				if text := change(m, c.head.text); text != c.head.text {
					c.head.text, changed = text, true
				}
			}
			return changed
		}
	}
	return []spoiling{
		{name: "synonyms", fits: headed},
		{name: "units in headings", fits: both(headed, ofKind(readingKind))},
		{name: "headings misspelled", fits: headed, table: misspellOne},
		{name: "headings in capitals", fits: headed, table: onHead(func(_ *maker, s string) string { return upper(s) })},
	}
}

// misspellOne exchanges two letters within one heading, or doubles one.
func misspellOne(m *maker, t *table) bool {
	for _, i := range m.rng.Perm(len(t.cols)) {
		c := t.cols[i].head
		if c == nil || c.kind != textCell || len([]rune(c.text)) < 6 || t.cols[i].concept == "period" {
			continue
		}
		letters := []rune(c.text)
		at := 2 + m.rng.IntN(len(letters)-4)
		if letters[at] == letters[at+1] || !unicode.IsLetter(letters[at]) || !unicode.IsLetter(letters[at+1]) {
			continue
		}
		letters[at], letters[at+1] = letters[at+1], letters[at]
		c.text = string(letters)
		return true
	}
	return false
}
