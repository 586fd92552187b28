package lines

import (
	"fmt"
	"strings"
	"time"
)

// Styles of narrow paper: lines broken over two, heads of pages, control characters.
func stylesOfPaper() []*Style {
	return []*Style{
		{
			Name: "two-deep", Tongue: "en", Page: "utf-8", Width: 40, Newline: "\r\n", layout: twoDeep, clock: steady(4 * time.Minute),
			words: "FIRE|PRE-ALARM|FAULT|FAULT CLEAR|ISOLATED|DE-ISOLATED|TEST|SYSTEM RESET|SILENCE",
		},
		{
			Name: "slip", Tongue: "de", Page: "437", Width: 24, Newline: "\r\n", zoned: true, layout: slip, clock: steady(-time.Hour), every: 30,
			head:  func(s *sheet, page int) { s.code("\f").put("BLATT ", fmt.Sprint(page), "\nBRANDMELDEZENTRALE") },
			words: "FEUER|VORALARM|STOERUNG|STOERUNG WEG|ABSCHALTUNG|ABSCHALTUNG WEG|REVISION|RUECKSTELLUNG|SUMMER AUS",
		},
		{
			Name: "ribbon", Tongue: "fr", Page: "850", Width: 32, Soft: true, Newline: "\r\n", zoned: true, layout: ribbon, clock: steady(-3 * time.Minute),
			words: "alarme feu|préalarme|dérangement|fin de dérangement|mise hors service|remise en service|essai|réarmement|arrêt signaux",
		},
		{
			Name: "under-heads", Tongue: "en", Page: "utf-8", Newline: "\r\n", zoned: true, layout: underHeads, clock: steady(90 * time.Second), every: 20, byDay: true,
			head: func(s *sheet, page int) {
				s.code("\f").put("== EVENTS OF ", s.wall.Format("02.01.2006"), " == PAGE ", fmt.Sprint(page), " ==")
			},
			words: "ALARM|WARNING|TROUBLE|TROUBLE OVER|OFF|ON|TESTED|RESET|SOUNDERS OFF",
		},
		{
			Name: "separated", Tongue: "nl", Page: "utf-8", Newline: "\r\n", zoned: true, layout: separated, clock: steady(0), every: 50,
			head: func(s *sheet, page int) {
				s.put("*** LOGBOEK CENTRALE *** ", s.wall.Format("02-01-2006 15:04"), " BLAD ", fmt.Sprint(page))
			},
			words: "BRANDALARM|VOORALARM|STORING|STORING VOORBIJ|UITGESCHAKELD|INGESCHAKELD|TEST|RESET|ZOEMER AF",
		},
		{
			Name: "fused", Tongue: "fr", Page: "437", Width: 40, Newline: "\r\n", zoned: true, layout: fused, clock: steady(24 * time.Hour),
			words: "FEU|PRE-ALARME|DEFAUT|FIN DEFAUT|HS|ES|TEST|REARM|SILENCE",
		},
		{
			Name: "zones", Tongue: "nl", Page: "latin-1", Newline: "\r\n", zoned: true, layout: zones, clock: steady(6 * time.Minute),
			words: "BRAND|VOORMELDING|STORING|STORING HERSTELD|UIT|WEER IN|PROEF|HERSTELD|SIRENES UIT",
		},
	}
}

// ECMA-48, from memory: SGR 1 and 0 begin and end bold; SO and SI shift out and in.
const (
	boldOn, boldOff   = "\x1b[1m", "\x1b[0m"
	shiftOut, shiftIn = "\x0e", "\x0f"
)

func twoDeep(s *sheet) {
	if s.event == Alarm {
		s.code(shiftOut).word(0).code(shiftIn).put("   ")
	} else {
		s.word(15)
	}
	s.as(Day, strings.ToUpper(dated(s.wall, "02-@", "en"))).put(" ").at("15:04").put("\n")
	s.day = true
	if s.number == 0 {
		s.put("  ").as(aside, "SYSTEM ").as(Text, s.text)
		return
	}
	s.put("  LOOP ").as(Loop, s.loop).put(" SENSOR ").as(Number, fmt.Sprintf("%03d", s.number)).put(" ").as(Text, s.text)
}

func slip(s *sheet) {
	if s.event == Alarm {
		s.code(boldOn)
	}
	s.on("02.01.06").put(" ").at("15:04").put(" ").word(0)
	if s.number > 0 {
		s.put(" M").as(Loop, s.loop).put("/").as(Number, fmt.Sprint(s.number))
	}
	if s.zone > 0 {
		s.put(" G").as(Zone, fmt.Sprint(s.zone))
	}
	s.put(" ").as(Text, s.text)
	if s.event == Alarm {
		s.code(boldOff)
	}
}

func ribbon(s *sheet) {
	s.put("le ").on("2 #").put(" à ").at("15h04").put(" ").word(0)
	if s.number > 0 {
		s.put(", boucle ").as(Loop, s.loop).put(" point ").as(Number, fmt.Sprint(s.number))
	}
	if s.zone > 0 {
		s.put(", zone ").as(Zone, fmt.Sprint(s.zone))
	}
	if s.text != "" {
		s.put(", ").as(Text, s.text)
	}
}

func underHeads(s *sheet) {
	s.at("15:04:05").put(" ").word(13)
	if s.number > 0 {
		s.as(Loop, s.loop).put("/").as(Number, fmt.Sprintf("%03d", s.number)).put(" ")
	}
	if s.zone > 0 {
		s.put("zone ").as(Zone, fmt.Sprint(s.zone)).put(" ")
	}
	s.as(Text, s.text)
}

func separated(s *sheet) {
	s.put(strings.Repeat("-", 40), "\nTIJD ").on("02-01-2006").put(" ").at("15:04:05").put(" MELDING ").word(0).put("\n")
	if s.number > 0 {
		s.put("LUS ").as(Loop, s.loop).put(" MELDER ").as(Number, fmt.Sprintf("%03d", s.number)).put(" ")
	}
	if s.zone > 0 {
		s.put("ZONE ").as(Zone, fmt.Sprint(s.zone)).put(" ")
	}
	s.put(": ").as(Text, s.text)
}

// fused writes loop and number as one: 3017 is number 17 of loop 3.
func fused(s *sheet) {
	s.put(fmt.Sprintf("%04d ", s.serial%10000)).on("02.01").put(" ").at("15:04").put(" ")
	if s.number > 0 {
		s.as(Loop, s.loop).as(Number, fmt.Sprintf("%03d", s.number))
	} else {
		s.put("0000")
	}
	s.put("/")
	if s.zone > 0 {
		s.as(Zone, fmt.Sprintf("%02d", s.zone))
	} else {
		s.put("00")
	}
	s.put(" ").word(0).put(" ").as(Text, s.text)
}

// zones tells zones alone.
func zones(s *sheet) {
	s.on("02.01.").put(" ").at("15:04")
	if s.zone > 0 {
		s.put(" ZONE ").as(Zone, fmt.Sprintf("%02d", s.zone))
	} else {
		s.put(" ").as(aside, "CENTRALE")
	}
	s.put(" ").word(0).put("\n   ")
	if s.text == "" {
		s.as(aside, "-")
	}
	s.as(Text, s.text)
}
