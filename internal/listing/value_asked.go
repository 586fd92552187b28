package listing

import "fmt"

// askWhichValue asks which of the columns of numbers is the value where no heading says so and readings are wanted; where
// there is none, the table is refused.
func (s *study) askWhichValue() {
	u := s.u
	var choices []Choice
	for i, c := range u.Columns {
		if (c.Field == Unused || c.Field == Day || c.Field == Month || c.Field == Year) && s.content[i].halfNumbers() && s.matches[i].strength < strengthProfile {
			choices = append(choices, Choice{columnKey(i), fmt.Sprintf("column %s", u.columnName(i))})
		}
	}
	if len(choices) == 0 {
		u.Kind, u.Refused, u.KindWhy = KindUnknown, true, "it is said to list readings, and no column of it has numbers that could be values"
		return
	}
	u.ask(AskValue, "Which column is the value? No heading says so.", choices...)
}
