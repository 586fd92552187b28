package live

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// lesser gives the shapes that a shape becomes where fields are left out, with some of what stands before or behind them.
// instead are words that may stand for what is left out.
func lesser(s Shape, instead []string) []Shape {
	sets := [][]Role{
		{Loop, Number, Sub}, {Loop, Number, Sub, Zone}, {Loop, Number, Sub, Text}, {Loop, Number, Sub, Zone, Text}, {Zone}, {Text}, {Zone, Text},
	}
	var all []Shape
	seen := map[string]bool{s.key(): true}
	for _, set := range sets {
		for _, v := range without(s, set, instead) {
			v = balanced(v)
			if k := v.key(); !seen[k] && apartIn(v, s) && len(all) < mostShapes {
				seen[k] = true
				all = append(all, v)
			}
		}
	}
	return all
}

// mostShapes bounds how many shapes are tried that an example becomes.
const mostShapes = 1200

// key is a shape as text.
func (s Shape) key() string {
	var b strings.Builder
	for _, e := range s {
		b.WriteString("<" + string(e.Role) + ">" + strings.Join(e.Glue, "|"))
	}
	return b.String()
}

// apartIn refuses shapes in which fields run together that do not in the example, or a word runs into an event or a text:
// nothing would say where one ends.
func apartIn(v, s Shape) bool {
	for i := 1; i < len(v); i++ {
		a, b := v[i-1], v[i]
		switch {
		case a.Role != "" && b.Role != "":
			k := slices.IndexFunc(s, func(e Elem) bool { return e.Role == b.Role })
			if k <= 0 || s[k-1].Role != a.Role {
				return false
			}
		case a.Role.free() && startsWord(b.Glue[0]), b.Role.free() && endsWord(a.Glue[0]):
			return false
		}
	}
	return len(v) > 0
}

// free reports whether a field may be any words.
func (r Role) free() bool { return r == What || r == Text }

// figures reports whether a field is a number or a letter that names something.
func (r Role) figures() bool { return r == Loop || r == Number || r == Sub || r == Zone }

func startsWord(g string) bool {
	r, _ := utf8.DecodeRuneInString(g)
	return g != "" && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

func endsWord(g string) bool {
	r, _ := utf8.DecodeLastRuneInString(g)
	return g != "" && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

// balanced takes brackets out whose other half was left out.
func balanced(s Shape) Shape {
	type place struct{ elem, at int }
	var open []place
	drop := map[place]bool{}
	for i, e := range s {
		if e.Role != "" {
			continue
		}
		for at, r := range []rune(e.Glue[0]) {
			switch {
			case strings.ContainsRune("([{", r):
				open = append(open, place{i, at})
			case strings.ContainsRune(")]}", r) && len(open) > 0:
				open = open[:len(open)-1]
			case strings.ContainsRune(")]}", r):
				drop[place{i, at}] = true
			}
		}
	}
	for _, p := range open {
		drop[p] = true
	}
	if len(drop) == 0 {
		return s
	}
	out := slices.Clone(s)
	for i, e := range out {
		if e.Role != "" {
			continue
		}
		var kept []rune
		for at, r := range []rune(e.Glue[0]) {
			if !drop[place{i, at}] {
				kept = append(kept, r)
			}
		}
		out[i] = Elem{Glue: []string{string(kept)}}
	}
	return out
}

// without leaves fields out, each run of them with some of what stands before and behind it.
func without(s Shape, roles []Role, instead []string) []Shape {
	out := []Shape{{}}
	for i := 0; i < len(s); {
		to := leftOut(s, i, roles)
		if to == i {
			for k := range out {
				out[k] = append(out[k][:len(out[k]):len(out[k])], s[i])
			}
			i++
			continue
		}
		var next []Shape
		for _, so := range out {
			for _, g := range insteadOf(s, i, to, instead) {
				next = append(next, append(so[:len(so):len(so)], g...))
			}
		}
		out, i = next, to
	}
	return out
}

// leftOut gives the end of the run at i that is left out: glue, field, glue and so on; i itself where none begins.
func leftOut(s Shape, i int, roles []Role) int {
	out := func(k int) bool { return k < len(s) && s[k].Role != "" && slices.Contains(roles, s[k].Role) }
	k := i
	if s[k].Role == "" && out(k+1) {
		k++
	}
	if !out(k) {
		return i
	}
	for out(k) {
		k++
		if k < len(s) && s[k].Role == "" {
			k++
		}
	}
	return k
}

// insteadOf gives what can stand where a run of fields is left out: the beginning of what stood before it, and the end of what
// stood behind it. What stands directly before or behind a text has no words of the other side.
func insteadOf(s Shape, i, to int, instead []string) []Shape {
	front, back := []string{""}, []string{""}
	if s[i].Role == "" {
		front = beginnings(s[i].Glue[0], to < len(s) && s[to].Role == Text)
	}
	if s[to-1].Role == "" && to-1 != i {
		back = endings(s[to-1].Glue[0], i > 0 && s[i-1].Role == Text)
	}
	if to < len(s) && s[to].Role.figures() && s[to-1].Role == "" && strings.TrimSpace(s[to-1].Glue[0]) != "" {
		back = slices.DeleteFunc(back, func(b string) bool { return strings.TrimSpace(b) == "" }) // what names a figure stays with it
	}
	var all []string
	for _, f := range front {
		for _, b := range back {
			all = append(all, oneBlank(f+b))
		}
	}
	for _, word := range instead {
		all = append(all, " "+word+" ")
	}
	slices.SortStableFunc(all, func(a, b string) int { return len(b) - len(a) })
	var out []Shape
	for _, g := range slices.Compact(all) {
		if g == "" {
			out = append(out, Shape{})
			continue
		}
		out = append(out, Shape{{Glue: []string{g}}})
	}
	if s[i].Role == "" && s[to-1].Role == "" && slices.Contains(instead, zoneInstead) {
		out = append(out, zonesInstead(s[i].Glue[0], s[to-1])...)
	}
	return out
}

func oneBlank(g string) string {
	g = strings.ReplaceAll(g, "  ", " ")
	return strings.NewReplacer(" \n", "\n", "\n ", "\n").Replace(g)
}

// beginnings gives the beginnings of a glue, cut between words and signs. signs: without letters and figures.
func beginnings(g string, signs bool) []string {
	out := []string{""}
	so := ""
	for _, r := range pieces(g) {
		if signs && (r.letter || r.digit) {
			break
		}
		so += r.text
		out = append(out, so)
	}
	return out
}

// endings gives the ends of a glue likewise.
func endings(g string, signs bool) []string {
	out := []string{""}
	so := ""
	all := pieces(g)
	for i := len(all) - 1; i >= 0; i-- {
		if signs && (all[i].letter || all[i].digit) {
			break
		}
		so = all[i].text + so
		out = append(out, so)
	}
	return out
}

// pieces cuts a glue into words, figures and signs; signs that stand together stay so, and line feeds are kept.
func pieces(g string) (all []run) {
	for _, r := range g {
		one := run{string(r), unicode.IsDigit(r) || r == digitsGlue, unicode.IsLetter(r)}
		if n := len(all); n > 0 {
			last := &all[n-1]
			if one.digit && last.digit || one.letter && last.letter || one.sign() && last.sign() && strings.HasPrefix(last.text, one.text) {
				last.text += one.text
				continue
			}
		}
		all = append(all, one)
	}
	return all
}

// zoneInstead says that a zone may stand in the place of a point, where no example has a zone.
const zoneInstead = "\x02"

// zoneWords are what a zone is called in the languages of the house: common practice, from memory.
var zoneWords = []string{"zone", "ZONE", "Zone", "zona", "ZONA", "Zona", "Gruppe", "GRUPPE", "gruppe"}

// zonesInstead gives glues and zones that may stand in the place of a point.
func zonesInstead(front string, back Elem) []Shape {
	var out []Shape
	for _, f := range beginnings(front, true) {
		for _, w := range zoneWords {
			out = append(out, Shape{{Glue: []string{oneBlank(f + " " + w + " ")}}, {Role: Zone}, back})
		}
	}
	return out
}
