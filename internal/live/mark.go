package live

import (
	"slices"
	"strings"
	"unicode/utf8"

	"sootline"
)

// Heard is a line as it was heard, before anybody knows how to read it.
type Heard struct {
	Number   int // from 1
	From, To int64
	Text     string
}

// HeardLines gives the lines of what was heard. The register's texts say by which code page.
func HeardLines(heard []Chunk, texts []string) []Heard {
	var out []Heard
	lines := linesOf(heard)
	page := pagesOf(lines, texts)[0]
	for i, l := range lines {
		out = append(out, Heard{i + 1, l.from, l.to, textOf(page.decode(l))})
	}
	return out
}

func linesOf(heard []Chunk) []raw {
	var sp splitter
	var all []raw
	for _, c := range heard {
		all = append(all, sp.feed(c.At, c.Bytes)...)
	}
	var out []raw
	for _, l := range sp.flush(all) {
		if len(l.bytes) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// Said is what a person said of a part of a line: its role, and what stands there.
type Said struct {
	Role  Role
	Value string
	Means Event // of the event
	After int   // so many letters stand before it at least, white space not counted: where somebody pointed at it
}

// ExampleOf marks parts of the lines first to last, by their numbers, where they stand: each behind the one before. White space
// and line ends do not count.
func ExampleOf(heard []Chunk, first, last int, said []Said) (Example, error) {
	lines := linesOf(heard)
	if first < 1 || last < first || last > len(lines) {
		return Example{}, sootline.Errorf(sootline.Invalid, "give the number of a line that is shown", "there is no line %d to %d; %d were heard", first, last, len(lines))
	}
	lines = lines[first-1 : last]
	var missing string
	for _, page := range tried(lines) {
		marks, lacks := page.marks(lines, said)
		if lacks == "" {
			return Example{From: int(lines[0].from), To: int(lines[len(lines)-1].to), Marks: marks}, nil
		}
		missing = lacks
	}
	return Example{}, sootline.Errorf(sootline.Invalid, "write it as it is printed, and in the order in which it stands", "%s is not in line %d behind what was marked before it", missing, first)
}

// tried gives every code page that lines can be in: what is said of them finds the right one.
func tried(lines []raw) []Page {
	likely := pagesOf(lines, nil)
	for _, p := range pages {
		if !slices.Contains(likely, p) {
			likely = append(likely, p)
		}
	}
	return likely
}

// placed is a letter with the bytes that write it.
type placed struct {
	r        rune
	from, to int64
}

// marks finds what was said; lacks is what was not found.
func (p Page) marks(lines []raw, said []Said) (marks []Mark, lacks string) {
	var letters []placed
	for _, l := range lines {
		for _, g := range p.decode(l) {
			if !isBlank(g.r) {
				letters = append(letters, placed{g.r, g.pos, g.pos + p.size(g.r)})
			}
		}
	}
	at := 0
	for _, s := range said {
		want := []rune(unspaced(s.Value))
		i := find(letters, want, max(at, s.After))
		if i < 0 || len(want) == 0 {
			return nil, string(s.Role) + " " + s.Value
		}
		at = i + len(want)
		marks = append(marks, Mark{From: int(letters[i].from), To: int(letters[at-1].to), Role: s.Role, Means: s.Means})
	}
	return marks, ""
}

func (p Page) size(r rune) int64 {
	if p == UTF8 {
		return int64(utf8.RuneLen(r))
	}
	return 1
}

func find(letters []placed, want []rune, at int) int {
	for i := at; i+len(want) <= len(letters); i++ {
		same := true
		for k, r := range want {
			same = same && letters[i+k].r == r
		}
		if same {
			return i
		}
	}
	return -1
}

// EventNamed finds an event by its name.
func EventNamed(name string) (Event, bool) {
	for _, e := range Events() {
		if strings.EqualFold(string(e), strings.TrimSpace(name)) {
			return e, true
		}
	}
	return "", false
}

// RoleNamed finds a role by its name.
func RoleNamed(name string) (Role, bool) {
	for _, r := range Roles() {
		if strings.EqualFold(string(r), name) {
			return r, true
		}
	}
	return "", false
}
