package lines

import (
	"fmt"
	"strings"
	"time"
)

// Styles of free text.
func stylesOfWords() []*Style {
	return []*Style{
		{
			Name: "half-day", Tongue: "en", Page: "utf-8", Newline: "\r\n", zoned: true, layout: halfDay, clock: steady(-5 * time.Minute),
			words: "IN ALARM|IN PREALARM|IN FAULT|FAULT RESTORED|DISABLED|RE-ENABLED|IN TEST|PANEL RESET|SIGNALS SILENCED",
		},
		{
			Name: "sentence", Tongue: "en", Page: "utf-8", Newline: "\n", zoned: true, layout: sentence, clock: steady(2 * time.Minute),
			words: "went into alarm|went into pre-alarm|reported a fault|reported that its fault is over|was disabled|was enabled again|was tested|the panel was reset|the sounders were silenced",
		},
		{
			Name: "letters", Tongue: "it", Page: "850", Newline: "\r\n", letters: true, zoned: true, layout: letters, clock: changed(0.5, 0, time.Hour),
			words: "ALLARME|PREALLARME|GUASTO|FINE GUASTO|ESCLUSO|INCLUSO|PROVA|RIPRISTINO|TACITAZIONE",
		},
		{
			Name: "text-first", Tongue: "en", Page: "latin-1", Newline: "\r\n", zoned: true, layout: textFirst, clock: steady(0),
			words: "Fire alarm|Early warning|Fault|Fault cleared|Disablement|Disablement ended|Test|Reset|Silence",
		},
		{
			Name: "evening", Tongue: "en", Page: "utf-8", Newline: "\r\n", subs: true, layout: evening, clock: steady(12 * time.Hour),
			words: "Alarm|Pre-Alm|Fault|Fault Clrd|Disab|Enab|Test|Reset|Silence",
		},
		{
			Name: "stars", Tongue: "de", Page: "latin-1", Width: 80, Newline: "\r\n", zoned: true, layout: stars, clock: steady(-40 * time.Minute),
			words: "ALARM|VORALARM|STÖRUNG|STÖRUNG BEHOBEN|AUS|WIEDER EIN|TEST|RÜCKSTELLUNG|TÖNER AUS",
		},
	}
}

func halfDay(s *sheet) {
	s.on("01/02/06").put(" ").at("3:04:05 PM").put("  NODE 1")
	if s.number > 0 {
		s.put("  LOOP ").as(Loop, fmt.Sprintf("%02s", s.loop)).put("  DEVICE ").as(Number, fmt.Sprint(s.number))
	}
	if s.zone > 0 {
		s.put("  ZONE ").as(Zone, fmt.Sprint(s.zone))
	}
	s.put("  ").word(0)
	if s.text != "" {
		s.put(`  "`).as(Text, s.text).put(`"`)
	}
}

func sentence(s *sheet) {
	s.put("At ").at("15:04").put(" on ").on("2 #").put(" ")
	switch {
	case s.number > 0:
		s.put("device ").as(Number, fmt.Sprint(s.number)).put(" of loop ").as(Loop, s.loop).put(" (zone ").as(Zone, fmt.Sprint(s.zone)).put(") ")
	case s.zone > 0:
		s.put("zone ").as(Zone, fmt.Sprint(s.zone)).put(" ")
	case s.event == Fault || s.event == Cleared:
		s.put("the panel ")
	}
	s.word(0)
	if s.text != "" {
		s.put(": ").as(Text, s.text)
	}
}

func letters(s *sheet) {
	s.on("2 @ 2006").put(" ").at("15:04:05").put(" ").word(0)
	if s.number > 0 {
		s.put(" ").as(Loop, s.loop).as(Number, fmt.Sprintf("%03d", s.number))
	}
	if s.zone > 0 {
		s.put(" Zona ").as(Zone, fmt.Sprint(s.zone))
	}
	if s.text != "" {
		s.put(" - ").as(Text, s.text)
	}
}

func textFirst(s *sheet) {
	if s.text == "" {
		s.as(aside, "Panel")
	}
	s.as(Text, s.text).put(" / ")
	if s.number > 0 {
		s.put("det ").as(Loop, s.loop).put("-").as(Number, fmt.Sprintf("%03d", s.number)).put(" / ")
	} else if s.zone > 0 {
		s.put("zone ").as(Zone, fmt.Sprint(s.zone)).put(" / ")
	}
	s.word(0).put(" / ").at("15:04").put(" ").on("02.01.06")
}

// evening writes the half of the day as one letter.
func evening(s *sheet) {
	s.on("2Jan").put(" ").as(Clock, strings.TrimSuffix(s.wall.Format("3:04pm"), "m")).put(" ").word(11)
	if s.number > 0 {
		s.put("Lp").as(Loop, s.loop).put(" Ad ").as(Number, fmt.Sprintf("%03d", s.number)).put(".").as(Sub, fmt.Sprintf("%02d", s.sub)).put(" ")
	}
	s.put("'").as(Text, s.text).put("'")
}

func stars(s *sheet) {
	s.put("*** ").word(0).put(" *** ")
	switch {
	case s.number > 0:
		s.put("(Schleife ").as(Loop, s.loop).put(", Melder ").as(Number, fmt.Sprint(s.number)).put(", Gruppe ").as(Zone, fmt.Sprint(s.zone)).put(") ")
	case s.zone > 0:
		s.put("(Gruppe ").as(Zone, fmt.Sprint(s.zone)).put(") ")
	}
	if s.text != "" {
		s.as(Text, s.text).put(" - ")
	}
	s.on("2. # 2006").put(", ").at("15:04").put(" Uhr")
}
