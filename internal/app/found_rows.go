package app

import (
	"cmp"
	"context"
	"fmt"

	"sootline"
	"sootline/internal/address"
)

// mostAnswers is how many answers of one loop are explained: explaining tries every
// mistake for every number, and a loop has some hundred devices.
const mostAnswers = 2000

// read takes the rows of a table that are of the loop, and says which it leaves out.
func (f *Found) read(ctx context.Context, table *IntakeTable, loop sootline.LoopID) error {
	others, first, name := 0, 0, "" // rows of other loops
	for record, fault := range table.Records(table.Table) {
		if fault != nil {
			f.leave(record.Line, fault.Trouble())
			continue
		}
		row := record.Schedule
		if row.Ref.Loop != "" && sootline.CleanName(row.Ref.Loop) != loop.Name {
			if others++; others == 1 {
				first, name = record.Line, row.Ref.Loop
			}
			continue
		}
		if len(f.Answers) == mostAnswers {
			return sootline.Errorf(sootline.Invalid, "hand in the list of one loop", "%s names more than %d numbers, and a loop has fewer", table.Path, mostAnswers)
		}
		answer := address.Answer{Number: cmp.Or(row.Ref.Address, row.Wanted), Type: row.Type, Serial: row.Serial}
		if why := address.Unanswerable(answer.Number); why != "" {
			f.leave(record.Line, why)
			continue
		}
		f.Answers, f.rows = append(f.Answers, answer), append(f.rows, record.Line)
	}
	for _, passed := range table.Skipped {
		if passed.Why == "titles and footers" || passed.Why == "totals" {
			f.leave(passed.First, fmt.Sprintf("it is passed over among %s, %d in all", passed.Why, passed.Count))
		}
	}
	switch others {
	case 0:
	case 1:
		f.leave(first, "it is of loop "+name)
	default:
		f.leave(first, fmt.Sprintf("it is of loop %s; %d rows in all are of other loops", name, others))
	}
	return ctx.Err() // else a list that was not read to its end would pass for a short one
}

// leave says that a row is not used.
func (f *Found) leave(line int, why string) {
	if len(f.Troubles) < mostAnswers {
		f.Troubles = append(f.Troubles, Remark{line, why})
	}
}

// oneRowADevice leaves out rows that say again what another says of a serial. Where
// two give a serial different numbers, that serial tells nothing: both rows stay, without
// it. A device of several numbers may be listed at each of them.
func (f *Found) oneRowADevice() {
	first := map[string]int{} // by serial, its first row kept
	wide := map[string]int{}
	for _, d := range f.Loop.Devices {
		wide[sootline.SerialKey(d.Serial)] = max(d.Width, 1)
	}
	at := map[string]int{} // the number of that row
	blank := map[string]bool{}
	var answers []address.Answer
	var rows []int
	for i, answer := range f.Answers {
		key := sootline.SerialKey(answer.Serial)
		k, known := first[key]
		switch {
		case key == "":
		case !known:
			first[key], at[key] = f.rows[i], answer.Number
		case answer.Number == at[key]:
			f.leave(f.rows[i], fmt.Sprintf("serial %s answers at %d in row %d already", answer.Serial, answer.Number, k))
			continue
		case max(answer.Number, at[key])-min(answer.Number, at[key]) >= wide[key]:
			f.leave(f.rows[i], fmt.Sprintf("the serial %s, nor that of row %d: there it answers at %d and here at %d, and one device has one number", answer.Serial, k, at[key], answer.Number))
			blank[key] = true
		}
		answers, rows = append(answers, answer), append(rows, f.rows[i])
	}
	for i := range answers {
		if blank[sootline.SerialKey(answers[i].Serial)] {
			answers[i].Serial = ""
		}
	}
	f.Answers, f.rows = answers, rows
}
