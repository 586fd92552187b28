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
	case AskSecond:
		p.Second = SecondMeant(value)
	case AskSite:
		p.Site = value
	case AskTitle:
		p.TitleMeans = TitleMeant(value)
	}
}

// choice is what a profile says where only some words can be said.
type choice struct {
	key, said string
	of        []string
}

func (p *Profile) choices() []choice {
	of := func(key, said string, of ...string) choice { return choice{key, said, of} }
	return []choice{
		of("decimal", p.Decimal, "point", "comma"),
		of("swapped_days", string(p.Swapped), string(DaysStand), string(DaysExchanged)),
		of("draft_sheet", string(p.DraftSheet), string(SheetTaken), string(SheetLeft)),
		of("visit_notes", string(p.VisitNotes), string(NotesOfLast), string(NotesOfEach), string(NotesLeft)),
		of("replaced_value", string(p.ReplacedValue), string(UnitOld), string(UnitNew)),
		of("month_heads", string(p.MonthHeads), string(MonthAndYear)),
		of("beyond", string(p.Beyond), string(BeyondNumber), string(BeyondLeft)),
		of("contrary", string(p.Contrary), string(ContraryByPoint), string(ContraryLeft)),
		of("holds", string(p.Holds), string(HoldsTaken), string(HoldsLeft)),
		of("second_value", string(p.Second), string(SecondFirst), string(SecondLast), string(SecondAll), string(SecondLeft)),
		of("title", string(p.TitleMeans), string(TitleTaken), string(TitleLeft)),
		of("ref_order", string(p.RefOrder), string(LoopAddress), string(AddressLoop), string(LoopAddressSub), string(FiguresLoop), string(FiguresPanelLoop), string(FiguresLoopZone), string(ZoneDevice), string(ZoneReadDevice)),
		of("numbers", string(p.Numbers), string(NumbersListed), string(NumbersWanted)),
	}
}

// orOf lists words: a, b or c.
func orOf(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
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
