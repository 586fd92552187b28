package main

import (
	"encoding/json"
	"fmt"

	"sootline/internal/app"
	"sootline/internal/listing"
)

// showChoices lists the answers to a question, and shows what each would make of the rows.
func (s *session) showChoices(table *app.IntakeTable, q listing.Question) error {
	for i, choice := range q.Choices {
		fmt.Fprintf(s.out, "  %c  %s\n", 'a'+i, wrap(choice.Text, 5))
	}
	return s.showCompared(table, q)
}

// showCompared shows the cells of the first rows beside what each answer would make of them.
func (s *session) showCompared(table *app.IntakeTable, q listing.Question) error {
	all, err := table.Compared()
	if err != nil {
		return err
	}
	for _, c := range all {
		if c.Question.ID != q.ID || len(c.Rows) == 0 {
			continue
		}
		for i, row := range c.Rows {
			fmt.Fprintf(s.out, "  row %d, as it stands: %s\n", row.Line, wrap(cellsSaid(row.Cells), 6))
			for k, reading := range c.Readings {
				if reading.Never == "" {
					fmt.Fprintf(s.out, "    %c  becomes %s\n", 'a'+k, wrap(reading.Becomes[i], 7))
				}
			}
		}
		for k, reading := range c.Readings {
			if reading.Never != "" {
				fmt.Fprintf(s.out, "  With %c none of these rows can be used: %s\n", 'a'+k, wrap(reading.Never, 4))
			} else if reading.Opens != "" {
				fmt.Fprintf(s.out, "  With %c it asks next: %s\n", 'a'+k, wrap(reading.Opens, 4))
			}
		}
	}
	return nil
}

func cellsSaid(cells []app.ComparedCell) string {
	said := ""
	for i, cell := range cells {
		if i > 0 {
			said += " | "
		}
		if cell.Heading != "" {
			said += cell.Heading + ": "
		}
		said += cell.Text
	}
	return said
}

// showHint shows the map file that would answer a question, an answer a line.
func (s *session) showHint(q listing.Question) {
	fmt.Fprintln(s.out, "  Answer on a terminal, or in a file given with --map (docs/formats/listings.md):")
	if q.ID == listing.AskDate {
		fmt.Fprintln(s.out, `       {"constants":{"date":"2026-01-20"}} with the day of the list`)
	}
	if q.ID == listing.AskLoop && len(q.Choices) == 0 {
		fmt.Fprintln(s.out, `       {"constants":{"loop":"1"}} with the name of the loop`)
	}
	if q.ID == listing.AskYear {
		fmt.Fprintln(s.out, `       {"year":"2026"} with their year`)
	}
	for i, choice := range q.Choices {
		var profile listing.Profile
		if err := profile.Answer(q.ID, choice.Value); err != nil {
			continue
		}
		if text, err := json.Marshal(profile); err == nil {
			fmt.Fprintf(s.out, "    %c  %s\n", 'a'+i, text)
		}
	}
}
