package live

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"sootline/internal/month"
)

// part is a part of a day or a time as a panel writes it.
type part string

const (
	dayPart    part = "D"
	monthPart  part = "M"
	namePart   part = "B" // a month by its name
	yearPart   part = "Y" // four digits
	shortPart  part = "y" // two digits
	hourPart   part = "h"
	minutePart part = "m"
	secondPart part = "s"
	halfPart   part = "p" // which half of the day
	textPart   part = ""  // always the same letters or signs
)

// Piece is a piece of a layout.
type Piece struct {
	Is    part   `json:"is,omitempty"`
	Text  string `json:"text,omitempty"`
	Fixed bool   `json:"fixed,omitempty"` // two digits always
}

// Layout is how a panel writes a day or a time.
type Layout []Piece

// stamp is what a day or a time says; -1: it does not say it.
type stamp struct{ year, month, day, hour, minute, second, half int }

var unsaid = stamp{-1, -1, -1, -1, -1, -1, -1}

// run is a run of digits, of letters, or another character.
type run struct {
	text          string
	digit, letter bool
}

func runs(text string) (all []run) {
	for _, r := range text {
		digit, letter := r >= '0' && r <= '9', unicode.IsLetter(r)
		if n := len(all); n > 0 && (digit && all[n-1].digit || letter && all[n-1].letter) {
			all[n-1].text += string(r)
			continue
		}
		if isBlank(r) {
			r = ' '
		}
		all = append(all, run{string(r), digit, letter})
	}
	return all
}

// dayLayouts gives the layouts that days written so may have.
func dayLayouts(samples []string) []Layout {
	if len(samples) == 0 {
		return nil
	}
	parts := runs(samples[0])
	var found []Layout
	var grow func(i int, so Layout, left string)
	grow = func(i int, so Layout, left string) {
		if i == len(parts) {
			if !strings.Contains(left, "D") && !strings.Contains(left, "M") && readsAll(so, samples) {
				found = append(found, append(Layout(nil), so...))
			}
			return
		}
		for _, way := range daysOf(parts[i]) {
			rest, ok := takes(left, way)
			if ok {
				grow(i+1, append(so[:len(so):len(so)], way...), rest)
			}
		}
	}
	grow(0, nil, "DMY")
	return found
}

// takes strikes the parts of a layout off those that are left: each comes once.
func takes(left string, way Layout) (string, bool) {
	for _, p := range way {
		name := strings.ToUpper(string(p.Is))
		if name == "" {
			continue
		}
		if name == "B" {
			name = "M"
		}
		if !strings.Contains(left, name) {
			return left, false
		}
		left = strings.Replace(left, name, "", 1)
	}
	return left, true
}

// daysOf gives what a run of a day may be.
func daysOf(r run) []Layout {
	d, m, y, short := Piece{Is: dayPart}, Piece{Is: monthPart}, Piece{Is: yearPart}, Piece{Is: shortPart, Fixed: true}
	fd, fm := Piece{Is: dayPart, Fixed: true}, Piece{Is: monthPart, Fixed: true}
	switch {
	case r.letter && month.Number(plain(r.text)) > 0:
		return []Layout{{{Is: namePart}}}
	case !r.digit:
		return []Layout{{{Text: r.text}}}
	case len(r.text) <= 2:
		return []Layout{{d}, {m}, {short}}
	case len(r.text) == 4:
		return []Layout{{y}, {fd, fm}, {fm, fd}}
	case len(r.text) == 6:
		return []Layout{{fd, fm, short}, {fm, fd, short}, {short, fm, fd}}
	case len(r.text) == 8:
		return []Layout{{fd, fm, y}, {fm, fd, y}, {y, fm, fd}}
	}
	return nil
}

// clockLayouts gives the layouts that times written so may have.
func clockLayouts(samples []string) []Layout {
	if len(samples) == 0 {
		return nil
	}
	order := []part{hourPart, minutePart, secondPart}
	var so Layout
	for _, r := range runs(samples[0]) {
		switch {
		case r.digit && len(r.text)%2 == 0 && len(r.text) > 2:
			for range len(r.text) / 2 {
				if len(order) == 0 {
					return nil
				}
				so, order = append(so, Piece{Is: order[0], Fixed: true}), order[1:]
			}
		case r.digit && len(order) > 0:
			so, order = append(so, Piece{Is: order[0], Fixed: order[0] != hourPart}), order[1:]
		case r.letter && halfOf(r.text) >= 0:
			so = append(so, Piece{Is: halfPart})
		default:
			so = append(so, Piece{Text: r.text})
		}
	}
	if len(order) > 1 || !readsAll(so, samples) {
		return nil
	}
	return []Layout{so}
}

// halfOf tells whether a word says the first half of the day, 0, or the second, 1; -1: neither.
func halfOf(word string) int {
	switch strings.ToLower(word) {
	case "a", "am":
		return 0
	case "p", "pm":
		return 1
	}
	return -1
}

func readsAll(l Layout, samples []string) bool {
	for _, s := range samples {
		g := glyphs(s)
		if _, end, ok := l.read(g, 0); !ok || end != len(g) {
			return false
		}
	}
	return true
}

func glyphs(s string) (out []glyph) {
	for _, r := range s {
		out = append(out, glyph{r: r})
	}
	return out
}

// read reads a day or a time at p, and gives where it ends.
func (l Layout) read(t []glyph, p int) (stamp, int, bool) {
	s := unsaid
	for _, piece := range l {
		var ok bool
		if p, ok = piece.read(t, p, &s); !ok {
			return s, p, false
		}
	}
	return s, p, s.real()
}

func (x Piece) read(t []glyph, p int, s *stamp) (int, bool) {
	switch x.Is {
	case textPart:
		return skipText(x.Text, t, p)
	case namePart, halfPart:
		end := p
		for end < len(t) && unicode.IsLetter(t[end].r) {
			end++
		}
		word := textOf(t[p:end])
		if x.Is == namePart {
			s.month = month.Number(plain(word))
			return end, s.month > 0
		}
		s.half = halfOf(word)
		return end, s.half >= 0
	}
	least, most := 1, 2
	if x.Fixed {
		least = 2
	}
	if x.Is == yearPart {
		least, most = 4, 4
	}
	end := p
	for end < len(t) && end-p < most && t[end].r >= '0' && t[end].r <= '9' {
		end++
	}
	if end-p < least {
		return p, false
	}
	n, err := strconv.Atoi(textOf(t[p:end]))
	x.keep(n, s)
	return end, err == nil
}

func (x Piece) keep(n int, s *stamp) {
	switch x.Is {
	case dayPart:
		s.day = n
	case monthPart:
		s.month = n
	case yearPart:
		s.year = n
	case shortPart:
		s.year = 2000 + n
	case hourPart:
		s.hour = n
	case minutePart:
		s.minute = n
	case secondPart:
		s.second = n
	}
}

func skipText(text string, t []glyph, p int) (int, bool) {
	for _, r := range text {
		if p >= len(t) || t[p].r != r && !(isBlank(r) && isBlank(t[p].r)) {
			return p, false
		}
		p++
	}
	return p, true
}

// real refuses days and times that there are not.
func (s *stamp) real() bool {
	if s.half >= 0 && s.hour >= 0 {
		if s.hour < 1 || s.hour > 12 {
			return false
		}
		s.hour = s.hour%12 + 12*s.half
	}
	if s.hour > 23 || s.minute > 59 || s.second > 59 {
		return false
	}
	if s.month < 0 {
		return s.day < 0
	}
	year := s.year
	if year < 0 {
		year = 2024 // it had a 29 February
	}
	return s.month <= 12 && time.Date(year, time.Month(s.month), s.day, 0, 0, 0, 0, time.UTC).Day() == s.day
}

// plain gives a word in small letters without accents.
func plain(word string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(strings.ToLower(word)) {
		if !unicode.Is(unicode.Mn, r) {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// wall gives the instant at which a clock in the site's zone shows what a line says, the one nearest to near, which decides
// what the line leaves out: the year, or the day.
func wall(day, clock stamp, near time.Time) time.Time {
	second := max(clock.second, 0)
	at := func(y int, m time.Month, d int) time.Time {
		return time.Date(y, m, d, max(clock.hour, 0), max(clock.minute, 0), second, 0, near.Location())
	}
	var tries []time.Time
	switch {
	case day.month < 0:
		for n := -1; n <= 1; n++ {
			tries = append(tries, at(near.Year(), near.Month(), near.Day()+n))
		}
	case day.year < 0:
		for n := -1; n <= 1; n++ {
			if t := at(near.Year()+n, time.Month(day.month), day.day); t.Day() == day.day {
				tries = append(tries, t)
			}
		}
	default:
		return at(day.year, time.Month(day.month), day.day)
	}
	var best time.Time
	for _, t := range tries {
		if best.IsZero() || t.Sub(near).Abs() < best.Sub(near).Abs() {
			best = t
		}
	}
	return best
}
