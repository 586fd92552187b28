package lines

import (
	"fmt"
	"time"
)

// Styles of columns and separators.
func stylesOfColumns() []*Style {
	return []*Style{
		{
			Name: "wide", Tongue: "en", Page: "utf-8", Width: 80, Newline: "\r\n", zoned: true, layout: wide, clock: changed(0.6, 3*time.Minute, 0),
			words: "FIRE ALARM|PRE-ALARM|FAULT|FAULT CLEARED|DISABLED|ENABLED|TEST|RESET|SILENCED",
		},
		{
			Name: "semicolons", Tongue: "fr", Page: "latin-1", Newline: "\n", zoned: true, layout: semicolons, clock: steady(-7 * time.Minute),
			words: "ALARME|PREALARME|DERANGEMENT|FIN DERANGEMENT|HORS SERVICE|EN SERVICE|ESSAI|REARMEMENT|ARRET SIGNAL",
		},
		{
			Name: "keyed", Tongue: "de", Page: "utf-8", Newline: "\n", zoned: true, layout: keyed, clock: steady(time.Hour),
			words: "alarm|voralarm|störung|störung ende|abgeschaltet|eingeschaltet|prüfung|rückgestellt|summer aus",
		},
		{
			Name: "packed", Tongue: "en", Page: "utf-8", Newline: "\r\n", zoned: true, layout: packed, clock: steady(-24 * time.Hour),
			words: "A|P|F|R|D|E|T|X|S",
		},
		{
			Name: "points", Tongue: "en", Page: "utf-8", Newline: "\n", subs: true, zoned: true, layout: points, clock: steady(-2 * time.Hour),
			words: "ALM|PRE|FLT|FLT-|DIS|DIS-|TST|RST|SIL",
		},
		{
			Name: "pipes", Tongue: "es", Page: "utf-8", Newline: "\r\n", zoned: true, layout: pipes, clock: steady(11 * time.Minute),
			words: "ALARMA|PREALARMA|AVERÍA|FIN DE AVERÍA|DESCONECTADO|CONECTADO|PRUEBA|REARME|SILENCIO",
		},
		{
			Name: "codes", Tongue: "it", Page: "850", Newline: "\r\n", zoned: true, layout: codes, clock: steady(0),
			words: "01|02|11|12|21|22|31|41|42",
		},
	}
}

func wide(s *sheet) {
	s.on("02/01/2006").put(" ").at("15:04:05").put("  ").word(15)
	if s.number > 0 {
		s.put("L").as(Loop, s.loop).put(" D").as(Number, fmt.Sprintf("%03d", s.number))
	} else {
		s.put("       ")
	}
	if s.zone > 0 {
		s.put(" Z").as(Zone, fmt.Sprintf("%02d", s.zone))
	} else {
		s.put("    ")
	}
	s.put("  ").as(Text, s.text)
}

func semicolons(s *sheet) {
	s.on("2006-01-02").put(";").at("15:04:05").put(";")
	if s.number > 0 {
		s.as(Loop, s.loop).put(";").as(Number, fmt.Sprintf("%03d", s.number))
	} else {
		s.put(";")
	}
	s.put(";")
	if s.zone > 0 {
		s.as(Zone, fmt.Sprint(s.zone))
	}
	s.put(";").word(0).put(`;"`).as(Text, s.text).put(`"`)
}

func keyed(s *sheet) {
	s.put("datum=").on("02.01.2006").put(" zeit=").at("15:04").put(" art=").word(0)
	if s.number > 0 {
		s.put(" ring=").as(Loop, s.loop).put(" adr=").as(Number, fmt.Sprint(s.number))
	}
	if s.zone > 0 {
		s.put(" gruppe=").as(Zone, fmt.Sprint(s.zone))
	}
	if s.text != "" {
		s.put(" ort=").as(Text, s.text)
	}
}

func packed(s *sheet) {
	s.on("020106").at("150405").word(0)
	if s.number > 0 {
		s.as(Loop, fmt.Sprintf("%02s", s.loop)).as(Number, fmt.Sprintf("%03d", s.number))
	} else {
		s.put("00000")
	}
	if s.zone > 0 {
		s.as(Zone, fmt.Sprintf("%03d", s.zone))
	} else {
		s.put("000")
	}
	s.pad(Text, s.text, 16)
}

func points(s *sheet) {
	s.on("20060102").put("T").at("150405").put(" ")
	if s.number > 0 {
		s.as(Loop, s.loop).put(".").as(Number, fmt.Sprintf("%03d", s.number)).put(".").as(Sub, fmt.Sprint(s.sub))
	} else {
		s.put("-.---.-")
	}
	s.put(" z")
	if s.zone > 0 {
		s.as(Zone, fmt.Sprint(s.zone))
	} else {
		s.put("-")
	}
	s.put(" ").word(5).as(Text, s.text)
}

func pipes(s *sheet) {
	s.on("02-@-2006").put(" ").at("15:04").put(" | ").word(0).put(" | ")
	if s.number > 0 {
		s.put("Lazo ").as(Loop, s.loop).put(" Disp. ").as(Number, fmt.Sprintf("%03d", s.number)).put(" | ")
	}
	if s.zone > 0 {
		s.put("Zona ").as(Zone, fmt.Sprint(s.zone)).put(" | ")
	}
	s.as(Text, s.text)
}

func codes(s *sheet) {
	s.put("EV").word(0).put(" ")
	if s.number > 0 {
		s.as(Number, fmt.Sprintf("%03d", s.number)).put(".").as(Loop, s.loop)
	} else {
		s.put("000.0")
	}
	s.put(" Z").as(zoneOrNone(s.zone), fmt.Sprint(s.zone))
	s.put(" ").on("02/01").put(" ").at("1504").put(" ").as(Text, s.text)
}

// zoneOrNone: a zone of zero is printed and says nothing.
func zoneOrNone(zone int) Role {
	if zone > 0 {
		return Zone
	}
	return None
}
