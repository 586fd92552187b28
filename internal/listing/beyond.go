package listing

import (
	"fmt"
	"strings"
)

// BeyondMeant is what a person said of values that are written as beyond a number, such as ">50".
type BeyondMeant string

// What a person may say.
const (
	BeyondNumber BeyondMeant = "number" // take the number, with what is written as a remark
	BeyondLeft   BeyondMeant = "left"   // put such rows aside
)

// beyond cuts ">50" into its number, with its unit if it has one.
func beyond(cell string) (number string, ok bool) {
	cell = strings.TrimSpace(cell)
	if cell == "" || cell[0] != '<' && cell[0] != '>' && !strings.HasPrefix(cell, "≤") && !strings.HasPrefix(cell, "≥") {
		return "", false
	}
	number = strings.TrimSpace(strings.TrimLeft(cell, "<>≤≥="))
	_, ok = anyNumber(number)
	return number, ok
}

func (f *facts) noteBeyond(cell string) {
	if f.beyond++; f.beyondExample == "" {
		f.beyondExample = strings.TrimSpace(cell)
	}
}

// beyondCell reads a value that lies beyond the number that is written, as somebody answered, and reports whether the cell
// has such a one.
func (r *rowReader) beyondCell(column int, cell string, kind cellKind) bool {
	number, ok := beyond(cell)
	if !ok {
		return false
	}
	switch r.u.profile.Beyond {
	case BeyondNumber:
		v, unit, err := r.number(column, number, kind)
		if err != nil {
			r.badNumber(column, cell, err)
			return true
		}
		r.reading.Samples = append(r.reading.Samples, v)
		r.reading.Unit, r.reading.UnitInCell = unit, unit != ""
		r.reading.Remark = join(r.reading.Remark, cell)
	case BeyondLeft:
		r.fail(column, "a number", quoteShort(cell), "it was put aside; write the number")
	default:
		r.fail(column, "an answer to what a value beyond a number is to be", quoteShort(cell), "answer the question about it, or write the number")
	}
	return true
}

// askBeyond asks what values beyond a number are to be: the true ones are known to nobody.
func (u *Understanding) askBeyond() {
	cells, example := 0, ""
	for i := range u.facts {
		cells += u.facts[i].beyond
		if example == "" {
			example = u.facts[i].beyondExample
		}
	}
	if cells == 0 || u.profile.Beyond != "" {
		return
	}
	text := fmt.Sprintf("How is %s to be taken? The true value lies beyond the number, and nobody wrote it down.", quoteShort(example))
	if cells > 1 {
		text = fmt.Sprintf("How are %d values such as %s to be taken? The true ones lie beyond the number, and nobody wrote them down.", cells, quoteShort(example))
	}
	u.Questions = append(u.Questions, Question{
		ID: AskBeyond, Text: text, Aside: true,
		Choices: []Choice{
			{string(BeyondNumber), "as the number, which is judged like any other, with what is written as a remark"},
			{string(BeyondLeft), "not at all: put such rows aside"},
		},
	})
}
