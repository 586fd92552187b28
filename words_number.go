package sootline

import (
	"strconv"
	"time"
)

// SayNumbers tells in words how the number of a point stands, which one is wanted,
// and what was set; days are those of the register's zone.
func (p *Point) SayNumbers() string {
	stands, wanted, set := "not known how it stands", "none wanted", "not set"
	if p.Stands.Number != 0 {
		stands = "stands " + p.Stands.say()
	}
	if p.Wanted != 0 {
		wanted = "wanted " + strconv.Itoa(p.Wanted)
	}
	switch {
	case p.SetTo.Number == 0:
	case p.Stands.Entry == p.SetTo.Entry && p.Stands.As == AsSet:
		set = ""
	default:
		set = "last set to " + strconv.Itoa(p.SetTo.Number) + " on " + p.SetTo.day()
	}
	if p.Stands.Number == 0 && p.Wanted == 0 {
		return "none yet"
	}
	said := stands + "; " + wanted
	if set != "" {
		said += "; " + set
	}
	return said
}

// say tells a number and how it is known.
func (s Stated) say() string {
	text := strconv.Itoa(s.Number) + ", " + s.As
	if day := s.day(); day != "" {
		text += " " + day
	}
	return Joined(text, s.How.say(), labelledText("by", s.By))
}

// day is when it was said; empty where nobody knows.
func (s Stated) day() string {
	if !s.At.After(LongAgo) {
		return ""
	}
	return s.At.Format(time.DateOnly)
}
