package listing

import (
	"errors"
	"strings"
)

// take takes an answer that is one word for one field of the profile; [Profile.check] looks at it.
func (p *Profile) take(id, value string) {
	switch id {
	case AskKind:
		p.Kind = Kind(value)
	case AskOrder:
		p.DateOrder = DateOrder(value)
	case AskSwapped:
		p.Swapped = SwappedDays(value)
	case AskEncoding:
		p.Encoding = value
	case AskMonthDay:
		p.DayOfMonth = value
	case AskYear:
		p.Year = value
	case AskMonthHeads:
		p.MonthHeads = MonthHeads(value)
	case AskReplaced:
		p.ReplacedValue = UnitRead(value)
	case AskNotes:
		p.VisitNotes = NotesMeant(value)
	case AskBeyond:
		p.Beyond = BeyondMeant(value)
	case AskContrary:
		p.Contrary = ContraryMeant(value)
	case AskRefOrder:
		p.RefOrder = RefOrder(value)
	case AskDecimal:
		p.Decimal = value
	case AskNumbers:
		p.Numbers = NumbersMeant(value)
	case AskSheet:
		p.DraftSheet = SheetMeant(value)
	case AskHolds:
		p.Holds = HoldsMeant(value)
	case AskSite:
		p.Site = value
	case AskTitle:
		p.TitleMeans = TitleMeant(value)
	}
}

// checkVisits looks at what is said of visits and their headings, and of single values and rows.
func (p Profile) checkVisits(bad func(key, value, want string) error) error {
	if p.VisitNotes != "" && p.VisitNotes != NotesOfLast && p.VisitNotes != NotesOfEach && p.VisitNotes != NotesLeft {
		return bad("visit_notes", string(p.VisitNotes), "last, each or left")
	}
	if p.ReplacedValue != "" && p.ReplacedValue != UnitOld && p.ReplacedValue != UnitNew {
		return bad("replaced_value", string(p.ReplacedValue), "old or new")
	}
	if _, ok := yearAlone(p.Year); p.Year != "" && !ok {
		return bad("year", p.Year, "a year of four digits")
	}
	if p.MonthHeads != "" && p.MonthHeads != MonthAndYear {
		return bad("month_heads", string(p.MonthHeads), "month year")
	}
	if p.Beyond != "" && p.Beyond != BeyondNumber && p.Beyond != BeyondLeft {
		return bad("beyond", string(p.Beyond), "number or left")
	}
	if p.Contrary != "" && p.Contrary != ContraryByPoint && p.Contrary != ContraryLeft {
		return bad("contrary", string(p.Contrary), "point or left")
	}
	if p.Holds != "" && p.Holds != HoldsTaken && p.Holds != HoldsLeft {
		return bad("holds", string(p.Holds), "taken or left")
	}
	if p.TitleMeans != "" && p.TitleMeans != TitleTaken && p.TitleMeans != TitleLeft {
		return bad("title", string(p.TitleMeans), "taken or left")
	}
	return nil
}

// takeLoop takes the name of a loop, with its panel or without.
func (p *Profile) takeLoop(value string) error {
	panel, loop, found := strings.Cut(value, ".")
	if !found {
		panel, loop = "", value
	}
	if loop == "" {
		return errors.New("answer to loop: it is empty")
	}
	if p.Constants = withEntry(p.Constants, Loop, loop); panel != "" {
		p.Constants = withEntry(p.Constants, Panel, panel)
	}
	return nil
}
