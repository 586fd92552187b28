package listing

import (
	"fmt"
	"strings"
)

// HoldsMeant is what a person said of values beside which another column says that they may not hold.
type HoldsMeant string

// What a person may say.
const (
	HoldsTaken HoldsMeant = "taken" // the values hold, whatever stands beside them
	HoldsLeft  HoldsMeant = "left"  // such rows are put aside
)

// holdHeads head columns that say whether the value beside them holds: by a word for how it was read, by a yes, by a no (as
// do the words that void), or
// by whatever stands there. Common practice, no source.
const holdHeads = `
state: status, state, quality, reading status, value status, validity, check, flag, zustand, status wert, qualitat, gultigkeit, etat, statut, qualite, validite, estado, calidad, validez, stato, qualita, validita, toestand, kwaliteit, geldigheid
yes: valid, is valid, ok, accepted, confirmed, approved, plausible, gultig, bestatigt, plausibel, valide, valable, accepte, confirme, valido, aceptado, confirmado, accettato, confermato, geldig, bevestigd, akkoord
no: deleted, excluded, exclude, suspect, wrong, geloscht, falsch, supprime, rejete, borrado, eliminado, rechazado, eliminato, scartato, verwijderd, afgekeurd
more: corrected, corrected value, correction, correct value, amended, amended value, korrigiert, korrigierter wert, korrektur, berichtigt, corrige, valeur corrigee, correction, corregido, valor corregido, correccion, corretto, valore corretto, correzione, gecorrigeerd, gecorrigeerde waarde, correctie
`

// plainStates leave the value beside them as it is.
const plainStates = `
plain: normal, ok, okay, good, valid, read, measured, online, in service, quiet, standby, gut, gultig, gelesen, gemessen, in ordnung, io, i o, in betrieb, ruhe, bon, valide, lu, mesure, en service, veille, bueno, bien, valido, leido, medido, en servicio, reposo, buono, valida, letto, misurato, in servizio, normale, riposo, goed, geldig, gelezen, gemeten, in dienst, rust, alarm, alarme, alarma, allarme, fire, feuer, incendie, incendio, brand, prealarm, pre alarm, clean, dirty, sauber, verschmutzt, propre, limpio, pulito, schoon, passed, tested, pass
`

// holdWords are those of the lists above.
type holdWords struct {
	heads map[string]string
	plain map[string]bool
}

var holds = func() holdWords {
	w := holdWords{map[string]string{}, map[string]bool{}}
	for word := range voids.everywhere {
		w.heads[word] = "no"
	}
	eachWord(holdHeads, func(kind, word string) { w.heads[word] = kind })
	eachWord(plainStates, func(_, word string) { w.plain[word] = true })
	return w
}()

// speaksAgainst: a cell says that the value in its row may not hold; kind is that of its column, empty where only words
// that are known to say so count.
func (lx *lexicon) speaksAgainst(kind, cell string) bool {
	said := fold(cell)
	if isWholeDate(cell) { // the day of an approval, and none of words
		return false
	}
	yes, known := lx.yes[said]
	no := known && !yes || isCross(said)
	switch kind {
	case "", "remark":
		return voidsValue(cell)
	case "yes":
		return said != "" && (no || !yes && !isTick(said) && !holds.plain[said])
	case "no", "more":
		return said != "" && !no
	}
	if _, number := anyNumber(cell); number { // a code
		return false
	}
	return said != "" && !holds.plain[said] && !yes && !isTick(said)
}

// settleHolds finds the columns beside values that say whether they hold, and asks where one speaks against any.
func (s *study) settleHolds() {
	u := s.u
	if u.Kind != KindReadings || u.profile.Holds == HoldsTaken {
		return
	}
	for i, c := range u.Columns {
		m := s.matches[i]
		if c.Field == Remark {
			u.holds = append(u.holds, holdColumn{i, "remark"})
			s.doubtHolds(i, "remark")
			continue
		}
		if c.Field != Unused || m.strength == strengthProfile {
			continue
		}
		kind := holds.heads[fold(c.Heading)]
		if kind == "" && m.strength >= strengthExact && m.field != "" && m.field != What {
			continue
		}
		if kind == "" && m.field == What && m.strength >= strengthNear {
			kind = "state"
		}
		u.holds = append(u.holds, holdColumn{i, kind})
		s.doubtHolds(i, kind)
	}
}

// holdColumn is one such column.
type holdColumn struct {
	column int
	kind   string
}

func (s *study) doubtHolds(i int, kind string) {
	u, rows, example := s.u, 0, ""
	for _, row := range s.sample {
		if row.Line <= u.HeaderLine || i >= len(row.Cells) || u.skip(&row) != "" {
			continue
		}
		if cell := strings.TrimSpace(row.Cells[i]); u.lx.speaksAgainst(kind, cell) {
			if rows++; example == "" {
				example = fmt.Sprintf("row %d says %s", row.Line, quoteShort(cell))
			}
		}
	}
	if rows == 0 || u.profile.Holds != "" {
		return
	}
	n := len(u.Questions)
	u.askOnce(AskHolds, fmt.Sprintf("Column %q may say that values do not hold (%d rows; %s). Are they taken all the same?", u.columnName(i), rows, example),
		Choice{string(HoldsTaken), "yes, whatever stands there"}, Choice{string(HoldsLeft), "no: put such rows aside"})
	if len(u.Questions) > n { // a remark speaks of its own row: the others can be taken
		u.Questions[n].Aside = kind == "remark"
	}
}

// holdValue refuses a row whose own cell says that its value may not hold.
func (r *rowReader) holdValue() {
	for _, h := range r.u.holds {
		cell, _ := r.get(slot{column: h.column})
		if r.u.lx.speaksAgainst(h.kind, cell) {
			r.fail(h.column, "a value that holds", quoteShort(cell), "it was put aside; answer the question about this column to take such values")
			return
		}
	}
}
